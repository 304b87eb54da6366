"""Examining: one decision a screen, its verdict at once, bad input refused with nothing lost."""

from collections.abc import Callable

import pytest

from service.actions.course import return_unrepaired
from service.actions.rebuilding import record_rework
from service.actions.settling import settle_as_proposed
from service.actions.shop import Shop
from service.workshop.vocabulary import Phase
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.pages.typed_at_the_bench import SOUND, Typed, pin_answers, record, strip
from tests.registered_fleet import Clock, Fleet
from tests.small_findings import REJECTED


@pytest.fixture
def stripped(technician: Visitor, injector: Injector) -> Injector:
    """On the bench in parts."""
    return strip(technician, injector)


def test_the_list_is_in_the_sheets_order_and_leads_to_the_first_open_one(
    technician: Visitor, stripped: Injector
) -> None:
    record(technician, stripped, "body-cracks", SOUND["body-cracks"])
    page = technician.get(f"{stripped.address}/examination")
    words = words_of(page)
    assert "1 of 10 done" in words
    assert "Next: Width of the body's seat" in words
    assert words.index("Cracks in the body Injector body") < words.index("Stiffness of the spring Spring")
    assert "Not examined" in words


def test_one_screen_tells_place_part_limit_consequence_and_how(technician: Visitor, stripped: Injector) -> None:
    words = words_of(technician.get(f"{stripped.address}/examination/needle-guide"))
    for piece in (
        "8 of 10",
        "Needle",
        "Diameter of the needle's guide",
        "Measure in two places.",
        "6 h6: 5.992 to 6",
        "Replace the matched assembly",
        "No earlier finding",
    ):
        assert piece in words, piece


def test_the_verdict_comes_at_once_with_reason_limit_and_the_way_on(technician: Visitor, stripped: Injector) -> None:
    part = record(technician, stripped, "body-seat-width", {"readings": "1.40", "instrument": "MIC-1"}, part=True)
    words = words_of(part)
    assert part.status_code == 200
    assert "Does not conform" in words
    assert "beyond the limit of 1.2 mm by 0.2 mm, with U = 0.00" in words
    assert "at most 1.20 mm" in words
    assert "Rework." in words
    assert "MIC-1, calibration CAL-MIC-1" in words
    assert f'href="{stripped.address}/examination/body-cracks">Next' not in part.text
    assert f'href="{stripped.address}/examination/body-pin"' in part.text


def test_typed_units_and_decimal_commas_are_understood(technician: Visitor, stripped: Injector) -> None:
    record(technician, stripped, "needle-guide", {"readings": ["5996 µm", "5,997"], "instrument": "MIC-1"})
    finding = stripped.record.finding("needle-guide")
    assert finding is not None
    assert finding.outcome.value == "5.996, 5.997 mm"


def test_a_reject_pin_in_one_hole_rejects_the_nozzle_and_the_drawing_shows_it(
    technician: Visitor, stripped: Injector
) -> None:
    part = record(technician, stripped, "nozzle-holes", pin_answers("een", "een", "eee", "een"), part=True)
    words = words_of(part)
    assert "Does not conform" in words
    assert "enters hole 3: one hole is enough to reject the nozzle" in words
    assert part.text.count('<g class="hole-does-not-conform">') == 1
    assert part.text.count('<g class="hole-conforms">') == 3
    assert "Hole 3: 0.84 mm enters, 0.85 mm enters, 0.88 mm enters" in words


def test_an_oval_hole_is_drawn_as_failed_and_a_missing_direction_is_asked_for(
    technician: Visitor, stripped: Injector
) -> None:
    typed = {**SOUND["nozzle-ovality"], "section-2": ["0.860", ""]}
    missing = record(technician, stripped, "nozzle-ovality", typed)
    assert missing.status_code == 422
    assert 'id="section-2-error"' in missing.text
    assert form_of(missing, "nozzle-ovality").fields["section-2"] == ["0.860", ""]
    oval = record(technician, stripped, "nozzle-ovality", {**typed, "section-2": ["0.860", "0.910"]}, part=True)
    assert "Hole 2: 0.05 mm is beyond the limit" in words_of(oval)
    assert oval.text.count('<g class="hole-does-not-conform">') == 1


def test_an_impression_in_an_internal_seat_means_a_new_assembly_and_never_lapping(
    technician: Visitor, stripped: Injector
) -> None:
    typed: Typed = {"findings": "indentation", "magnification": "9", "instrument": "SCOPE-1"}
    words = words_of(record(technician, stripped, "needle-seat", typed, part=True))
    assert "This surface is never lapped or ground." in words
    assert "Replace the matched assembly." in words


def test_an_instrument_past_its_calibration_is_not_offered_and_the_reason_is_told(
    visit: Callable[[str], Visitor], injector: Injector, clock: Clock
) -> None:
    clock.moment = clock.moment.replace(year=2027, month=2)
    technician = visit("tech")
    strip(technician, injector)
    page = technician.get(f"{injector.address}/examination/body-seat-width")
    assert '<option value="MIC-1"' not in page.text
    assert "its calibration has run out: MIC-1 (due 31 Jan 2027)" in words_of(page)


def test_last_times_finding_stands_on_the_screen(
    technician: Visitor, shop: Shop, fleet: Fleet, injector: Injector
) -> None:
    injector.examined(body_seat_width=REJECTED["body-seat-width"])
    shop_exit = injector.form()
    return_unrepaired(shop, fleet.manager, injector.number, shop_exit, reason="Owner asks.")
    again = received(shop, fleet)
    words = words_of(technician.get(f"{again.address}/examination/body-seat-width"))
    assert f"Last time: 1.40 mm: does not conform. 2 Mar 2026, {injector.number}." in words


def test_a_second_recording_replaces_the_first_and_both_stay_in_the_history(
    technician: Visitor, stripped: Injector
) -> None:
    record(technician, stripped, "body-pin", {"answer": "no"})
    record(technician, stripped, "body-pin", {"answer": "yes"})
    assert "Conforms" in words_of(technician.get(f"{stripped.address}/examination/body-pin"))
    assert words_of(technician.get(stripped.address)).count("Locating pin") >= 2


def test_who_did_not_see_anothers_reading_is_told_of_it_and_decides_again(
    technician: Visitor, visit: Callable[[str], Visitor], stripped: Injector
) -> None:
    address = f"{stripped.address}/examination/body-seat-width"
    form = form_of(technician.get(address), address)
    record(visit("tech2"), stripped, "body-seat-width", {"readings": "1.15", "instrument": "MIC-1"})
    answer = technician.send(form, readings="1.40", instrument="MIC-1")
    assert answer.status_code == 409
    assert "Timo Technician" in words_of(answer)
    again = form_of(answer, address)
    assert again.fields["readings"] == ["1.40"]
    assert technician.send(again).status_code == 303
    finding = stripped.record.finding("body-seat-width")
    assert finding is not None
    assert finding.outcome.value.startswith("1.4")


def test_the_same_form_sent_twice_records_once(technician: Visitor, stripped: Injector) -> None:
    address = f"{stripped.address}/examination/body-pin"
    form = form_of(technician.get(address), address)
    before = stripped.record.last_seq
    for _ in range(2):
        assert technician.send(form, answer="yes").status_code == 303
    assert stripped.record.last_seq == before + 1


def test_after_rework_it_is_measured_again_on_its_own(
    technician: Visitor, shop: Shop, fleet: Fleet, injector: Injector
) -> None:
    injector.examined(body_seat_width=REJECTED["body-seat-width"])
    settle_as_proposed(shop, fleet.technician, injector.number, injector.form())
    record_rework(shop, fleet.technician, injector.number, injector.form(), part="body", method="Ground.")
    address = f"{injector.address}/examination/body-seat-width?phase=after-rework"
    assert address in technician.get(f"{injector.address}/examination").text
    answer = technician.fill(address, address, readings="1.10", instrument="MIC-1")
    assert "After rework" in words_of(answer)
    assert "Go on with the rebuild" in words_of(answer)
    found, after = (injector.record.finding("body-seat-width", phase) for phase in (Phase.FOUND, Phase.AFTER_REWORK))
    assert found is not None
    assert after is not None
    assert (found.outcome.verdict.value, after.outcome.verdict.value) == ("does-not-conform", "conforms")


def test_nothing_is_examined_before_stripping(technician: Visitor, injector: Injector) -> None:
    page = technician.get(f"{injector.address}/examination/body-pin")
    assert "Strip the injector first." in words_of(page)
    assert not has_form(page, "/examination/")


def test_a_characteristic_that_the_sheet_does_not_list_is_not_found(technician: Visitor, stripped: Injector) -> None:
    assert technician.get(f"{stripped.address}/examination/no-such").status_code == 404
    assert technician.get(f"{stripped.address}/examination/body-pin?phase=later").status_code == 404


def test_the_office_examines_nothing(office: Visitor, technician: Visitor, stripped: Injector) -> None:
    address = f"{stripped.address}/examination/body-pin"
    form = form_of(technician.get(address), address)
    assert office.send(form, answer="yes").status_code == 403
    assert office.get(address).status_code == 403
