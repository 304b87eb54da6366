"""The search box: exactly this serial, those that begin so, or a plain word that there is none."""

import pytest

from service.actions.shop import Shop
from tests.pages.forms_on_page import Visitor, words_of
from tests.pages.unit_register import receive, receive_from_other_fleet, second_type
from tests.registered_fleet import Fleet


@pytest.fixture
def some_units(shop: Shop, fleet: Fleet) -> None:
    """Three of the own fleet, two of another."""
    receive(shop, fleet, "SN-1001", "SN-1002", "XY 7")
    receive_from_other_fleet(shop, fleet, "SN-2001", "SN-1")


@pytest.mark.parametrize(("typed", "address"), [("sn-1002", "/units/SN-1002"), ("xy  7", "/units/XY%207")])
@pytest.mark.usefixtures("some_units")
def test_an_exact_serial_leads_to_the_unit(office: Visitor, typed: str, address: str) -> None:
    answer = office.get(f"/units?serial={typed}")
    assert answer.status_code == 303
    assert answer.headers["location"] == address


@pytest.mark.usefixtures("some_units")
def test_a_beginning_lists_the_own_fleet_only(office: Visitor, technician: Visitor) -> None:
    mine = words_of(office.get("/units?serial=sn-"))
    assert "SN-1001" in mine
    assert "SN-1002" in mine
    assert "SN-2001" not in mine
    everybodys = words_of(technician.get("/units?serial=sn-"))
    assert "SN-1001" in everybodys
    assert "SN-2001" in everybodys


@pytest.mark.usefixtures("some_units")
def test_a_foreign_serial_that_is_a_beginning_of_ones_own_lists_these(office: Visitor, technician: Visitor) -> None:
    assert office.get("/units?serial=SN-1").status_code == 200
    assert technician.get("/units?serial=SN-1").status_code == 303


@pytest.mark.usefixtures("some_units")
def test_foreign_and_unknown_answer_alike_with_what_was_typed_still_there(office: Visitor) -> None:
    foreign, unknown = office.get("/units?serial=SN-2001"), office.get("/units?serial=SN-2999")
    assert foreign.status_code == unknown.status_code == 404
    assert foreign.text.replace("SN-2001", "") == unknown.text.replace("SN-2999", "")
    assert 'value="SN-2001"' in foreign.text
    assert "No such serial number" in words_of(foreign)


def test_nothing_typed_asks_for_a_serial_and_odd_signs_are_refused_in_words(office: Visitor) -> None:
    assert office.get("/units").status_code == 200
    assert office.get("/units?serial=").status_code == 200
    refused = office.get("/units?serial=%3Cb%3E")
    assert refused.status_code == 422
    assert "Enter the serial number as marked" in words_of(refused)
    assert 'value="&lt;b&gt;"' in refused.text


def test_signs_count_one_by_one_on_every_database(office: Visitor, shop: Shop, fleet: Fleet) -> None:
    receive(shop, fleet, "A 1", "A-1", "A.1", "A/1", "A1", "AB-1")
    told = words_of(office.get("/units?serial=a-"))  # the hyphen at the end is no part of a serial number
    for serial in ("A 1", "A-1", "A.1", "A/1", "A1", "AB-1"):
        assert serial in told
    narrow = words_of(office.get("/units?serial=ab"))
    assert "AB-1" in narrow
    assert "A-1" not in narrow.replace("AB-1", "")


def test_a_long_list_is_cut_and_says_so(office: Visitor, shop: Shop, fleet: Fleet) -> None:
    receive(shop, fleet, *(f"L-{number:03d}" for number in range(1, 26)))
    told = words_of(office.get("/units?serial=L-"))
    assert "The first 20" in told
    assert "L-020" in told
    assert "L-021" not in told


def test_one_serial_on_two_types_is_listed_with_its_type(office: Visitor, shop: Shop, fleet: Fleet) -> None:
    receive(shop, fleet, "DOUBLE-1")
    receive(shop, fleet, "DOUBLE-1", engine_id=second_type(shop, fleet))
    answer = office.get("/units?serial=DOUBLE")
    assert 'href="/units/DOUBLE-1?type=SMALL-1"' in answer.text
    assert 'href="/units/DOUBLE-1?type=SMALL-2"' in answer.text


def test_nobody_searches_without_signing_in(passer_by: Visitor) -> None:
    assert passer_by.get("/units?serial=SN").headers["location"].startswith("/sign-in")
