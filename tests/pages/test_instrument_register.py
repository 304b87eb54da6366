"""The register of instruments: its list, the entries, and one instrument's page."""

import re

import pytest

from service.actions.instruments import save_instrument
from service.actions.shop import Shop
from service.workshop.vocabulary import InstrumentKind
from tests.calibrating import calibrate, history
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.registered_fleet import Clock, Fleet

NEW = {
    "code": "mic-2",
    "kind": "micrometer",
    "unit": "mm",
    "lower": "0",
    "upper": "25,0",
    "resolution": "1 µm",
    "location": "Bench 2",
}
STANDINGS = "In date|Due within 30 days|Overdue|Not calibrated|Quarantined|Withdrawn"


def row_of(visitor: Visitor, code: str) -> str:
    """The instrument's line in the register."""
    words = words_of(visitor.get("/instruments"))
    return re.search(rf"{code} .*?({STANDINGS})", words)[0]  # type: ignore[index]


def test_an_instrument_is_added_and_its_page_tells_range_and_resolution(manager: Visitor) -> None:
    page = words_of(manager.fill("/instruments/new", "/instruments", **NEW))
    for piece in ("MIC-2", "Micrometer", "Range 0 to 25 mm", "Resolution 0.001 mm", "Place Bench 2", "Not calibrated"):
        assert piece in page
    assert row_of(manager, "MIC-2").endswith("Not calibrated")


def test_a_whole_span_of_pins_is_typed_in_one_line(manager: Visitor) -> None:
    typed = {**NEW, "code": "PS-2", "kind": "pin-set", "pins": "0.20 to 1.20 by 0.01\n1,5; 2", "lower": "", "upper": ""}
    page = words_of(manager.fill("/instruments/new", "/instruments", **typed))
    assert "Pins in use 103, 0.2 to 2 mm" in page


def test_the_register_tells_in_words_how_each_stands_today(
    manager: Visitor, shop: Shop, fleet: Fleet, clock: Clock
) -> None:
    assert row_of(manager, "MIC-1").endswith("In date")
    february, today = clock.moment.date().replace(month=2, day=1), clock.moment.date()
    calibrate(shop, fleet, calibrated_on=february, due=today.replace(day=20))
    assert row_of(manager, "MIC-1").endswith("Due within 30 days")
    calibrate(shop, fleet, calibrated_on=february, due=today.replace(day=1))
    assert row_of(manager, "MIC-1").endswith("Overdue")
    manager.fill("/instruments/MIC-1", "/state", state="withdrawn", reason="Worn out")
    assert row_of(manager, "MIC-1").endswith("Withdrawn")
    assert "1 withdrawn" in words_of(manager.get("/instruments"))


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("code", "", "Give the instrument a code"),
        ("code", "MIC-1", "in the register already"),
        ("kind", "ruler", "choose one"),
        ("unit", "furlong", "Choose the unit"),
        ("lower", "NaN", "not a number"),
        ("upper", "-1", "above the lower end"),
        ("resolution", "2 bar", "does not measure the same thing"),
        ("pins", "0.85", "Only a gauge pin set holds pins"),
        ("pins", "0.20 to 1.20 by 0", "is no span"),
    ],
)
def test_bad_input_stands_beside_its_field_and_what_was_typed_stays(
    manager: Visitor, field: str, typed: str, said: str
) -> None:
    form = form_of(manager.get("/instruments/new"), "/instruments")
    refused = manager.send(form, **{**NEW, field: typed})
    assert refused.status_code == 422
    assert said in re.search(rf'id="{field}-error".*?</p>', refused.text, re.DOTALL)[0]  # type: ignore[index]
    kept = form_of(refused, "/instruments").fields
    assert kept["location"] == ["Bench 2"]
    assert kept["code"] == [typed if field == "code" else "mic-2"]


def test_a_stale_form_tells_what_the_instrument_says_now(manager: Visitor, shop: Shop, fleet: Fleet) -> None:
    place = "/instruments/MIC-1/entry"
    form = form_of(manager.get(place), place)
    kind = InstrumentKind.MICROMETER
    save_instrument(
        shop, fleet.second_manager, code="MIC-1", kind=kind, description="Outside", unit="mm", location="A", version=2
    )
    stale = manager.send(form, location="Bench 9")
    assert stale.status_code == 409
    assert "It now says: Micrometer, Outside, reads mm, resolution not stated, at A, in use" in words_of(stale)
    again = form_of(stale, place)
    assert again.fields["location"] == ["Bench 9"]
    assert manager.send(again).status_code == 303
    assert history(shop).row.location == "Bench 9"


def test_an_instrument_with_a_slash_in_its_code_has_its_pages(manager: Visitor) -> None:
    manager.fill("/instruments/new", "/instruments", **{**NEW, "code": "A/7"})
    path = "/instruments/A%2F7"
    assert f'href="{path}"' in manager.get("/instruments").text
    assert manager.get(path).status_code == 200
    assert manager.send(form_of(manager.get(f"{path}/entry"), f"{path}/entry"), location="B").status_code == 303


def test_an_unknown_instrument_is_not_found(manager: Visitor) -> None:
    for path in ("/instruments/NOBODY", "/instruments/NOBODY/entry", "/instruments/NOBODY/calibrations/new"):
        assert manager.get(path).status_code == 404, path


def test_the_bench_looks_and_quarantines_and_only_the_manager_keeps_the_register(
    technician: Visitor, office: Visitor
) -> None:
    for path in ("/instruments/new", "/instruments/MIC-1/entry", "/instruments/MIC-1/calibrations/new"):
        for visitor in (technician, office):
            assert visitor.get(path).status_code == 403, path
    for path in ("/instruments", "/instruments/MIC-1"):
        assert office.get(path).status_code == 403
        assert technician.get(path).status_code == 200
    for path in ("/instruments", "/instruments/MIC-1/entry", "/instruments/MIC-1/calibrations"):
        assert technician.client.post(path, data=NEW).status_code == 403, path
    page = technician.get("/instruments/MIC-1")
    assert has_form(page, "/state")
    assert "Withdraw" not in words_of(page)


def test_the_way_into_quarantine_and_out_of_it(technician: Visitor, manager: Visitor) -> None:
    page = technician.fill("/instruments/MIC-1", "/state", state="quarantined", reason="Dropped on the floor")
    assert "Quarantined Dropped on the floor" in words_of(page)
    assert not has_form(page, "/state"), "a technician does not release it"
    unsaid = manager.send(form_of(manager.get("/instruments/MIC-1"), "/state"), state="in-use", reason=" ")
    assert unsaid.status_code == 422
    assert "Say why" in words_of(unsaid)
    stale = form_of(manager.get("/instruments/MIC-1"), "/state")
    released = manager.fill("/instruments/MIC-1", "/state", state="in-use", reason="Checked against gauge blocks")
    assert "In date" in words_of(released)
    conflict = manager.send(stale, state="in-use", reason="Me too")
    assert conflict.status_code == 409
    assert "Me too" in form_of(conflict, "/state").fields["reason"][0]
    forced = technician.send(form_of(technician.get("/instruments/MIC-1"), "/state"), state="withdrawn", reason="Old")
    assert forced.status_code == 403
