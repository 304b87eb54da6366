"""The register of instruments."""

import re
from datetime import date
from decimal import Decimal

import pytest

from service.actions.instruments import save_instrument
from service.actions.shop import Shop
from service.workshop.vocabulary import InstrumentKind
from tests.pages.forms_on_page import Visitor, form_of, words_of
from tests.registered_fleet import Clock, Fleet

NEW = {
    "code": "mic-2",
    "kind": "micrometer",
    "unit": "mm",
    "expanded_uncertainty": "0,002",
    "calibration": "CAL-77",
    "due": "2027-02-01",
    "active": "yes",
}


def row_of(visitor: Visitor, code: str) -> str:
    """The instrument's line in the register."""
    words = words_of(visitor.get("/instruments"))
    return re.search(rf"{code} .*?(In date|Due within 30 days|Overdue|Withdrawn)", words)[0]  # type: ignore[index]


def test_an_instrument_is_added_and_a_decimal_comma_is_taken(manager: Visitor) -> None:
    manager.fill("/instruments/new", "/instruments", **NEW)
    row = row_of(manager, "MIC-2")
    for piece in ("Micrometer", "0.002", "mm", "1 Feb 2027", "Certificate CAL-77", "In date"):
        assert piece in row


def test_an_uncertainty_typed_in_another_unit_is_converted(manager: Visitor) -> None:
    manager.fill("/instruments/new", "/instruments", **{**NEW, "expanded_uncertainty": "1.5 µm"})
    assert "0.0015 mm" in row_of(manager, "MIC-2")


def test_the_register_tells_in_words_how_each_stands_today(manager: Visitor, clock: Clock) -> None:
    assert row_of(manager, "MIC-1").endswith("In date")
    manager.fill("/instruments/MIC-1", "/instruments/MIC-1", due="2026-03-20")
    assert row_of(manager, "MIC-1").endswith("Due within 30 days")
    manager.fill("/instruments/MIC-1", "/instruments/MIC-1", due="2026-03-01")
    assert row_of(manager, "MIC-1").endswith("Overdue")
    manager.fill("/instruments/MIC-1", "/instruments/MIC-1", active=[])
    assert row_of(manager, "MIC-1").endswith("Withdrawn")
    assert "1 withdrawn" in words_of(manager.get("/instruments"))


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("code", "", "Give the instrument a code"),
        ("code", "MIC-1", "in the register already"),
        ("kind", "ruler", "choose one"),
        ("unit", "furlong", "Choose the unit"),
        ("expanded_uncertainty", "NaN", "not a number"),
        ("expanded_uncertainty", "-0.001", "0 or more"),
        ("expanded_uncertainty", "2 bar", "does not measure the same thing"),
        ("calibration", " ", "number of the calibration certificate"),
        ("due", "1.2.2027", "YYYY-MM-DD"),
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
    assert kept["calibration"] == [typed if field == "calibration" else "CAL-77"]


def test_a_stale_form_tells_what_the_instrument_says_now(manager: Visitor, shop: Shop, fleet: Fleet) -> None:
    form = form_of(manager.get("/instruments/MIC-1"), "/instruments/MIC-1")
    save_instrument(
        shop,
        fleet.second_manager,
        code="MIC-1",
        kind=InstrumentKind.MICROMETER,
        description="",
        unit="mm",
        expanded_uncertainty=Decimal("0.004"),
        calibration="CAL-88",
        due=date(2027, 5, 1),
        version=1,
    )
    stale = manager.send(form, calibration="CAL-99")
    assert stale.status_code == 409
    assert "expanded uncertainty 0.004 mm, calibration CAL-88, due 2027-05-01, in use" in words_of(stale)
    again = form_of(stale, "/instruments/MIC-1")
    assert again.fields["calibration"] == ["CAL-99"]
    assert manager.send(again).status_code == 303
    assert "Certificate CAL-99" in row_of(manager, "MIC-1")


def test_an_instrument_with_a_slash_in_its_code_has_a_page(manager: Visitor) -> None:
    manager.fill("/instruments/new", "/instruments", **{**NEW, "code": "A/7"})
    path = "/instruments/A%2F7"
    assert f'href="{path}"' in manager.get("/instruments").text
    assert manager.send(form_of(manager.get(path), path), calibration="CAL-78").status_code == 303


def test_an_unknown_instrument_is_not_found(manager: Visitor) -> None:
    assert manager.get("/instruments/NOBODY").status_code == 404


def test_only_the_manager_keeps_the_register(technician: Visitor, office: Visitor) -> None:
    for visitor in (technician, office):
        for path in ("/instruments", "/instruments/new", "/instruments/MIC-1"):
            assert visitor.get(path).status_code == 403
        assert visitor.client.post("/instruments", data=NEW).status_code == 403
