"""Limit sheets as people read them: the list, the revisions, one revision, its file, and a file taken as the draft."""

import json
import re

import httpx
import pytest

from service.actions.shop import Shop
from service.records.sheet_file import sheet_to_json
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.pages.sheet_editor import TYPE, approve
from tests.registered_fleet import Fleet
from tests.small_sheet import SMALL_SHEET


def take_file(visitor: Visitor, content: bytes, path: str = TYPE) -> httpx.Response:
    """Send a file as the draft."""
    form = form_of(visitor.get(path), "/files")
    return visitor.client.post(
        form.action, data=form.fields, files={"file": ("sheet.json", content)}, follow_redirects=False
    )


def test_the_list_says_what_is_in_force_and_where_a_draft_is(manager: Visitor) -> None:
    assert "SMALL-1 Small injector for tests Revision 1 of SMALL-1 None" in words_of(manager.get("/limit-sheets"))
    manager.fill(TYPE, "/drafts")
    assert "Revision 2 of SMALL-1, the draft" in words_of(manager.get("/limit-sheets"))


def test_the_revisions_tell_who_approved_them_and_when(manager: Visitor) -> None:
    manager.fill(TYPE, "/drafts")
    assert approve(manager).status_code == 303
    words = words_of(manager.get(TYPE))
    assert "Revision 2 Approved Mara Manager, 2 Mar 2026, 08:00 UTC" in words
    assert "Revision 1 Superseded Mara Manager, 2 Mar 2026, 08:00 UTC" in words


def test_a_revision_reads_in_words(manager: Visitor) -> None:
    words = words_of(manager.get(f"{TYPE}/revisions/1"))
    for piece in (
        "Invented figures: fit no maker's injector.",
        "6 h6: 5.992 to 6 mm",
        "at least 59.5 mm",
        "at most 1.2 mm",
        "95 to 105 N/mm",
        "Rework until 1.6 mm, past that: replace the part",
        "Reject pin 0.88 mm enters none",
        "At most 0.02 mm 4 × hole, 2 directions each With bore gauge",
        "Indentation: reject At 8 to 10 times magnification",
        "Is the locating pin whole? Yes is required",
        "Replace only: never reworked",
        "90 to 110 N·m",
        "Seal, renewed at each overhaul",
        "Nozzle, Needle, Spring",
        "345 to 360 bar",
        "No oil for 10 s at 50 bar below the set opening pressure.",
        "Oil shows the nut: the ring under the nut leaks",
    ):
        assert piece in words, piece


def test_the_characteristics_stand_in_the_order_of_examination(manager: Visitor) -> None:
    words = words_of(manager.get(f"{TYPE}/revisions/1"))
    places = [words.index(f"{number}. {item.title}") for number, item in enumerate(SMALL_SHEET.characteristics, 1)]
    assert places == sorted(places)


def test_the_file_of_a_revision_comes_as_a_download_and_goes_in_again_unchanged(manager: Visitor) -> None:
    file = manager.get(f"{TYPE}/revisions/1/file")
    assert file.headers["content-type"] == "application/json"
    assert file.headers["content-disposition"] == 'attachment; filename="limit-sheet-SMALL-1-1.json"'
    assert take_file(manager, file.content).headers["location"] == f"{TYPE}/draft"
    assert manager.get(f"{TYPE}/revisions/2/file").content == file.content


def test_a_file_replaces_the_draft_that_there_is(manager: Visitor) -> None:
    manager.fill(TYPE, "/drafts")
    content = json.loads(sheet_to_json(SMALL_SHEET))
    content["title"] = "From the second file"
    assert take_file(manager, json.dumps(content).encode()).status_code == 303
    assert "<h1>From the second file</h1>" in manager.get(f"{TYPE}/draft").text
    assert "Revision 3" not in words_of(manager.get(TYPE))


@pytest.mark.parametrize(
    ("spoil", "said"),
    [
        (lambda sheet: sheet.pop("format"), "must say “format”"),
        (lambda sheet: sheet["characteristics"][1]["limits"].update(upper="wide"), "characteristics.1.limits.upper"),
        (lambda sheet: sheet["test_plan"]["steps"][2].update(kind="guess"), "test_plan.steps.2.kind"),
        (lambda sheet: sheet["parts"][0].update(colour="red"), "parts.0.colour: the format has no such field"),
        (lambda sheet: sheet.update(injector_type="OTHER"), "is for OTHER, not for SMALL-1"),
    ],
)
def test_a_file_with_a_fault_is_refused_with_the_place_in_the_file(manager: Visitor, spoil, said: str) -> None:  # type: ignore[no-untyped-def]
    sheet = json.loads(sheet_to_json(SMALL_SHEET))
    spoil(sheet)
    refused = take_file(manager, json.dumps(sheet).encode())
    assert refused.status_code == 422
    assert said in re.search(r'id="file-error".*?</p>', refused.text, re.DOTALL)[0]  # type: ignore[index]
    assert "draft" not in words_of(refused).partition("Revisions")[2].partition("Start a draft")[0].lower()


@pytest.mark.parametrize("content", [b"", b"{", b"\xff\xfe\x00", b"[1, 2]", b'"a sheet"'])
def test_what_is_no_limit_sheet_is_refused(manager: Visitor, content: bytes) -> None:
    refused = take_file(manager, content)
    assert refused.status_code == 422
    assert 'id="file-error"' in refused.text


def test_a_type_without_a_sheet_starts_with_an_empty_one(manager: Visitor) -> None:
    manager.fill("/fleets/injector-types/new", "/fleets/injector-types", code="NEW-1", name="A new type")
    page = manager.fill("/limit-sheets/NEW-1", "/drafts")
    assert "What stands between this draft and approval" in words_of(page)
    assert "List the parts." in words_of(page)
    assert approve(manager, "/limit-sheets/NEW-1").status_code == 422


def test_an_open_overhaul_stays_on_the_revision_that_it_started_under(manager: Visitor, injector: Injector) -> None:
    manager.fill(TYPE, "/drafts")
    manager.fill(f"{TYPE}/draft/head", "/head", title="The newer revision")
    assert approve(manager).status_code == 303
    assert injector.record.sheet.title == SMALL_SHEET.title
    assert "in force" not in words_of(manager.get(f"{TYPE}/revisions/1"))
    assert "<h1>The newer revision</h1>" in manager.get(f"{TYPE}/revisions/2").text


def test_an_injector_received_afterwards_starts_under_the_new_revision(
    manager: Visitor, shop: Shop, fleet: Fleet
) -> None:
    manager.fill(TYPE, "/drafts")
    manager.fill(f"{TYPE}/draft/head", "/head", title="The newer revision")
    approve(manager)
    assert received(shop, fleet).record.sheet.title == "The newer revision"


def test_with_a_draft_there_no_second_one_is_started(manager: Visitor) -> None:
    form = form_of(manager.get(TYPE), "/drafts")
    assert manager.send(form).status_code == 303
    assert manager.send(form).status_code == 303
    assert not has_form(manager.get(TYPE), "/drafts")
    assert "Revision 3" not in words_of(manager.get(TYPE))


def test_what_is_not_there_is_not_found(manager: Visitor) -> None:
    for path in ("NOBODY", "NOBODY/draft", "SMALL-1/draft", "SMALL-1/revisions/9", "SMALL-1/revisions/9/file"):
        assert manager.get(f"/limit-sheets/{path}").status_code == 404


def test_only_the_manager_keeps_limit_sheets(
    manager: Visitor, technician: Visitor, office: Visitor, passer_by: Visitor
) -> None:
    manager.fill(TYPE, "/drafts")
    draft = f"{TYPE}/draft"
    pages = (TYPE, f"{TYPE}/revisions/1", f"{TYPE}/revisions/1/file", draft, f"{draft}/head", f"{draft}/parts/new")
    for path in ("/limit-sheets", "/limit-sheets/class-limits?designation=6+h6", *pages):
        assert technician.get(path).status_code == 403
        assert office.get(path).status_code == 403
        assert passer_by.get(path).status_code == 303
    for path in (f"{TYPE}/drafts", f"{TYPE}/files", f"{draft}/head", f"{draft}/parts/new", f"{draft}/approvals"):
        for visitor in (technician, office):
            assert visitor.client.post(path, data={"seen": "1"}).status_code == 403
