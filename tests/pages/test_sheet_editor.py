"""The editor of a limit sheet's draft: field by field, from a copy to an approval."""

from collections.abc import Callable
from decimal import Decimal

from service.actions.shop import Shop
from service.workshop.sheet_editing import Section, items_of
from service.workshop.test_plan import LeakPlace
from tests.pages.forms_on_page import Visitor, form_of, words_of
from tests.pages.sheet_editor import DRAFT, TYPE, approve, button, change, draft, error_at, item
from tests.small_sheet import SMALL_SHEET

EVERY_ITEM = [(section, item.key) for section in Section for item in items_of(SMALL_SHEET, section)]


def test_every_form_sent_as_it_stands_changes_nothing(editor: Visitor, shop: Shop) -> None:
    for section, key in EVERY_ITEM:
        answer = change(editor, item(section.value, key))
        assert answer.status_code == 303, f"{key}: {words_of(answer)}"
        assert draft(shop) == SMALL_SHEET, key
    for path in (f"{DRAFT}/head", f"{DRAFT}/test-plan"):
        assert change(editor, path).status_code == 303
    assert draft(shop) == SMALL_SHEET


def test_a_draft_is_edited_field_by_field_and_approved(editor: Visitor, shop: Shop) -> None:
    change(editor, f"{DRAFT}/head", document_revision="B", discs_added_max="4", overhaul_hours="12 000")
    change(editor, f"{DRAFT}/test-plan", opening_upper_bar="36,5 MPa", spring_rate_n_per_mm="100", guide_mm="8",
           seat_mm="4,5", discs_mm="0,05; 0,10")  # fmt: skip
    change(editor, f"{DRAFT}/parts/new", name="Circlip")
    change(editor, item("parts", "spring"), replaced_singly=[])
    change(editor, item("characteristics", "needle-guide"), designation="Ø6 g6")
    change(editor, item("characteristics", "nozzle-holes"), pins="0.84; 0,85; 870 µm; 0.88")
    change(editor, item("torques", "nut"), lower="95")
    change(editor, item("steps", "external"), hold_s="60")
    change(editor, f"{DRAFT}/characteristics/new?kind=yes-no", part="circlip", title="Circlip", how="Look.",
           question="Is it whole?", required="yes", consequence="replace")  # fmt: skip
    sheet = draft(shop)
    assert (sheet.document_revision, sheet.discs_added_max, sheet.overhaul_hours) == ("B", 4, 12_000)
    assert "Next overhaul after 12 000 h" in words_of(editor.get(DRAFT))
    assert sheet.test_plan.opening_upper_bar == 365
    plan = sheet.test_plan
    assert (plan.spring_rate_n_per_mm, plan.guide_mm, plan.seat_mm) == (100, 8, Decimal("4.5"))
    assert plan.discs_mm == (Decimal("0.05"), Decimal("0.10"))
    assert "Spring rate 100 N/mm" in words_of(editor.get(DRAFT))
    assert not sheet.part_by_key["spring"].replaced_singly
    assert sheet.characteristic_by_key["nozzle-holes"].pins == tuple(map(Decimal, ("0.84", "0.85", "0.87", "0.88")))  # type: ignore[union-attr]
    assert sheet.torques[0].lower == 95
    assert sheet.test_plan.step_by_key["external"].hold_s == 60  # type: ignore[union-attr]
    assert [one.key for one in sheet.characteristics][-1] == "circlip"
    assert approve(editor).headers["location"] == TYPE
    # 6 g6 is 6 mm with -4 and -12 µm: ISO 286-2:2010, table for g, nominal sizes over 3 to 6 mm
    assert "6 g6: 5.988 to 5.996 mm" in words_of(editor.get(f"{TYPE}/revisions/2"))


def test_the_later_bench_steps_their_causes_and_places_are_typed_in(editor: Visitor, shop: Shop) -> None:
    change(editor, f"{DRAFT}/steps/new?kind=flush", how="Pump.", flush_s="60", causes=" Dirt \r\n\r\nOld oil\r\n")
    leak = {"how": "Catch the oil.", "pressure_bar": "2900 psi", "time_s": "60", "volume_max_ml": "10 cm³"}
    change(editor, f"{DRAFT}/steps/new?kind=back-leakage", **leak)
    place = {"place-1-label": "at the tip", "place-1-points_to": "seat", "place-1-action": "Lap it."}
    change(editor, item("steps", "seat"), **place)
    steps = draft(shop).test_plan.step_by_key
    assert steps["flush"].causes == ("Dirt", "Old oil")
    assert steps["seat"].places == (
        LeakPlace(key="at-the-tip", label="at the tip", points_to="seat", action="Lap it."),
    )  # type: ignore[union-attr]
    leakage = steps["back-leakage"]
    # 2900 psi are 199.947961502… bar (NIST SP 811, B.8): to a thousandth, since certificates print it.
    limits = (leakage.pressure_bar, leakage.volume_max_ml, leakage.volume_min_ml)  # type: ignore[union-attr]
    assert limits == (Decimal("199.948"), 10, None)
    before = draft(shop)
    for key in ("flush", "seat", "back-leakage"):
        assert change(editor, item("steps", key)).status_code == 303
    assert draft(shop) == before
    assert approve(editor).headers["location"] == TYPE
    told = words_of(editor.get(f"{TYPE}/revisions/2"))
    for words in (
        "Likely causes: Dirt; Old oil",
        "Oil shows at the tip: seat. Lap it.",
        "At most 10 ml from the return",
    ):
        assert words in told


def test_a_removed_part_shows_as_faults_that_lead_to_their_forms(editor: Visitor) -> None:
    assert editor.send(button(editor, "parts/removals", "needle")).status_code == 303
    page = editor.get(DRAFT)
    assert words_of(page).count("The part “needle” is not listed.") == 4  # in the list of faults and at each item
    for key in ("needle-seat", "needle-guide"):
        path = f"{DRAFT}/characteristics/item?key={key}"
        assert f'href="{path}">Characteristic “{key}”' in page.text
        assert "needle (not listed)" in words_of(editor.get(path))
    refused = approve(editor)
    assert refused.status_code == 422
    assert "It cannot be approved yet" in words_of(refused)
    assert "The part “needle” is not listed." in words_of(refused)
    assert form_of(refused, "/approvals").fields["compared"] == ["yes"]


def test_approval_asks_whether_the_limits_were_compared(editor: Visitor) -> None:
    refused = editor.send(form_of(editor.get(DRAFT), "/approvals"))
    assert refused.status_code == 422
    assert "with the maker&#39;s document" in error_at(refused, "compared")
    assert "Revision 1 of SMALL-1" in words_of(editor.get("/limit-sheets"))


def test_a_characteristic_moves_up_in_the_order_of_examination(editor: Visitor, shop: Shop) -> None:
    answer = editor.send(button(editor, "characteristics/places", "body-pin"), direction="up")
    assert answer.headers["location"] == f"{DRAFT}#characteristics"
    assert [one.key for one in draft(shop).characteristics][:3] == ["body-cracks", "body-pin", "body-seat-width"]


def test_a_finding_taken_off_its_list_is_gone_and_a_new_one_has_a_key(editor: Visitor, shop: Shop) -> None:
    typed = {"finding-2-label": "", "finding-4-label": "Rust, light", "finding-4-outcome": "rework"}
    change(editor, item("characteristics", "nozzle-tip"), **typed)
    tip = draft(shop).characteristic_by_key["nozzle-tip"]
    assert list(tip.by_key) == ["clean", "burnt", "rust-light"]  # type: ignore[union-attr]


def test_a_stale_form_tells_who_changed_what_and_keeps_what_was_typed(
    editor: Visitor, visit: Callable[[str], Visitor], shop: Shop
) -> None:
    path = item("torques", "nut")
    form = form_of(editor.get(path), "/item")
    assert change(visit("manager2"), path, upper="120").status_code == 303
    stale = editor.send(form, upper="115")
    assert stale.status_code == 409
    assert "Milo Manager changed torques › nut › upper: 110 → 120." in words_of(stale)
    kept = form_of(stale, "/item")
    assert kept.fields["upper"] == ["115"]
    assert draft(shop).torques[0].upper == 120
    assert editor.send(kept).status_code == 303
    assert draft(shop).torques[0].upper == 115


def test_an_item_taken_off_meanwhile_is_offered_to_be_added_again(
    editor: Visitor, visit: Callable[[str], Visitor], shop: Shop
) -> None:
    form = form_of(editor.get(item("characteristics", "needle-guide")), "/item")
    assert visit("manager2").send(button(editor, "characteristics/removals", "needle-guide")).status_code == 303
    gone = editor.send(form, title="Typed meanwhile")
    assert gone.status_code == 409
    assert "Somebody took this characteristic off the sheet" in words_of(gone)
    assert "needle-guide" not in draft(shop).characteristic_by_key
    assert editor.send(form_of(gone, "/new?kind=size")).status_code == 303
    assert draft(shop).characteristic_by_key["needle-guide"].title == "Typed meanwhile"


def test_the_same_form_sent_twice_adds_one_part(editor: Visitor, shop: Shop) -> None:
    form = form_of(editor.get(f"{DRAFT}/parts/new"), "/parts/new")
    assert editor.send(form, name="Circlip").status_code == 303
    assert editor.send(form, name="Circlip").status_code == 409
    assert [part.key for part in draft(shop).parts].count("circlip") == 1
    assert "circlip-2" not in [part.key for part in draft(shop).parts]


def test_an_approval_of_a_draft_that_moved_on_is_refused(editor: Visitor, visit: Callable[[str], Visitor]) -> None:
    form = form_of(editor.get(DRAFT), "/approvals")
    assert change(visit("manager2"), item("torques", "nut"), upper="120").status_code == 303
    stale = editor.send(form, compared="yes")
    assert stale.status_code == 409
    assert "Milo Manager changed torques" in words_of(stale)
    assert "Draft" in words_of(editor.get(TYPE))


def test_what_the_draft_does_not_have_is_not_found(editor: Visitor) -> None:
    for path in ("parts/item?key=gone", "parts/new?kind=size", "characteristics/new", "steps/new?kind=x", "pages/new"):
        assert editor.get(f"{DRAFT}/{path}").status_code == 404
