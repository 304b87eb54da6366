"""Receiving several injectors from one vessel, all or none."""

import threading
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from service.actions.course import condemn, return_unrepaired
from service.actions.fleets import save_engine, save_injector_type, save_operator
from service.actions.receiving import ConsignmentReceived, InjectorReceived, OpenAlready, receive_consignment
from service.actions.shop import Forbidden, NotFound, Refused, Shop
from service.metrology.errors import DomainError
from service.workshop.vocabulary import Disposition
from tests.actions.at_the_bench import form, injector, key, loaded, newest_journal_row, receive
from tests.registered_fleet import PASSWORD, Fleet


def arrive(shop: Shop, fleet: Fleet, *injectors: InjectorReceived, **other: Any) -> ConsignmentReceived:
    fields: dict[str, Any] = {"imo": fleet.imo, "due_on": date(2026, 4, 1), "injectors": injectors, "form_key": key()}
    return receive_consignment(shop, other.pop("actor", fleet.technician), **{**fields, **other})


def count(shop: Shop) -> tuple[int, ...]:
    tables = ("consignment", "overhaul", "unit", "journal")
    return tuple(shop.store.rows(f"SELECT count(*) FROM {table}")[0][0] for table in tables)  # noqa: S608


def refused(shop: Shop, kind: type[DomainError], act: Any) -> DomainError:
    before = count(shop)
    with pytest.raises(kind) as refusal:
        act()
    assert count(shop) == before
    return refusal.value


def test_a_consignment_of_two_opens_two_overhauls(shop: Shop, fleet: Fleet) -> None:
    received = arrive(shop, fleet, injector(fleet, " a-1 "), injector(fleet, "A-2", 2), reference=" PO 7 ")
    assert received.number == "CN-2026-0001"
    assert received.overhauls == ("OH-2026-0001", "OH-2026-0002")
    first = loaded(shop, "OH-2026-0001")
    assert (first.unit.serial, first.row.stage, first.consignment.reference) == ("A-1", "received", "PO 7")
    row = newest_journal_row(shop)
    assert (row.action, row.subject_id, row.person_name) == ("received", "CN-2026-0001", fleet.technician.name)
    assert '"OH-2026-0002"' in row.after


def test_a_manager_may_receive_but_the_ships_office_may_not(shop: Shop, fleet: Fleet) -> None:
    arrive(shop, fleet, injector(fleet, "A-1"), actor=fleet.manager)
    refused(shop, Forbidden, lambda: arrive(shop, fleet, injector(fleet, "A-2"), actor=fleet.office))


def test_the_same_form_sent_twice_is_received_once(shop: Shop, fleet: Fleet) -> None:
    once = arrive(shop, fleet, injector(fleet, "A-1"), form_key="form-twice")
    before = count(shop)
    assert arrive(shop, fleet, injector(fleet, "A-1"), form_key="form-twice") == once
    assert count(shop) == before


def test_the_same_form_sent_eight_times_at_once_is_received_once(shop: Shop, fleet: Fleet) -> None:
    start = threading.Barrier(8)

    def send(_: int) -> ConsignmentReceived:
        start.wait()
        return arrive(shop, fleet, injector(fleet, "A-1"), form_key="form-eight")

    with ThreadPoolExecutor(8) as pool:
        answers = set(pool.map(send, range(8)))
    assert answers == {ConsignmentReceived(number="CN-2026-0001", overhauls=("OH-2026-0001",))}


def test_the_same_serial_from_two_people_at_once_is_opened_once(shop: Shop, fleet: Fleet) -> None:
    start = threading.Barrier(2)

    def send(_: int) -> str:
        start.wait()
        try:
            return arrive(shop, fleet, injector(fleet, "A-1")).overhauls[0]
        except OpenAlready as refusal:
            return f"refused: {refusal.overhaul}"

    with ThreadPoolExecutor(2) as pool:
        assert sorted(pool.map(send, range(2))) == ["OH-2026-0001", "refused: OH-2026-0001"]


def test_a_serial_open_in_the_shop_is_refused_with_where_it_is(shop: Shop, fleet: Fleet) -> None:
    number = receive(shop, fleet, "A-1")[0]
    error = refused(shop, OpenAlready, lambda: arrive(shop, fleet, injector(fleet, "A-9"), injector(fleet, "a-1")))
    assert isinstance(error, OpenAlready)
    assert error.overhaul == number
    assert number in error.sentence
    assert error.field == "injectors.1.serial"


def test_the_same_serial_twice_in_one_crate_is_refused(shop: Shop, fleet: Fleet) -> None:
    twice = (injector(fleet, "A-1"), injector(fleet, "A-1", 2))
    error = refused(shop, DomainError, lambda: arrive(shop, fleet, *twice))
    assert error.field == "injectors.1.serial"


def test_a_unit_that_left_comes_back_as_the_same_unit(shop: Shop, fleet: Fleet) -> None:
    number = receive(shop, fleet, "A-1")[0]
    return_unrepaired(shop, fleet.manager, number, form(shop, number), reason="Owner asks.")
    again = receive(shop, fleet, "A-1")[0]
    assert loaded(shop, again).unit.id == loaded(shop, number).unit.id


def test_a_condemned_serial_is_never_received_again(shop: Shop, fleet: Fleet) -> None:
    number = receive(shop, fleet, "A-1")[0]
    condemn(shop, fleet.manager, number, form(shop, number), reason="Cracked.", password=PASSWORD)
    error = refused(shop, Refused, lambda: arrive(shop, fleet, injector(fleet, "A-1")))
    assert (error.code, error.field) == ("condemned", "injectors.0.serial")


@pytest.mark.parametrize(
    ("imo", "code"),
    [("9000004", "imo-check-digit-wrong"), ("90000", "imo-number-unreadable"), ("", "imo-number-unreadable")],
)
def test_a_wrong_ship_number_is_refused(shop: Shop, fleet: Fleet, imo: str, code: str) -> None:
    assert refused(shop, DomainError, lambda: arrive(shop, fleet, injector(fleet, "A-1"), imo=imo)).code == code


def test_a_vessel_that_nobody_registered_is_not_found(shop: Shop, fleet: Fleet) -> None:
    assert (
        refused(shop, NotFound, lambda: arrive(shop, fleet, injector(fleet, "A-1"), imo="9000027")).code == "no-vessel"
    )


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"serial": ""}, "serial"),
        ({"serial": "<script>"}, "serial"),
        ({"engine_id": 999}, "engine_id"),
        ({"cylinder": 0}, "cylinder"),
        ({"cylinder": 7}, "cylinder"),
        ({"running_hours": -1}, "running_hours"),
        ({"running_hours": 200_001}, "running_hours"),
    ],
)
def test_bad_input_names_the_injector_and_its_field_and_nothing_is_opened(
    shop: Shop, fleet: Fleet, changes: dict[str, Any], field: str
) -> None:
    bad = replace(injector(fleet, "A-2"), **changes)
    error = refused(shop, DomainError, lambda: arrive(shop, fleet, injector(fleet, "A-1"), bad))
    assert error.field == f"injectors.1.{field}"


def test_an_engine_of_another_vessel_is_refused(shop: Shop, fleet: Fleet) -> None:
    strange = injector(fleet, "A-1", engine_id=fleet.other_engine_id)
    assert refused(shop, Refused, lambda: arrive(shop, fleet, strange)).field == "injectors.0.engine_id"


def test_an_empty_crate_and_a_promise_in_the_past_are_refused(shop: Shop, fleet: Fleet) -> None:
    assert refused(shop, Refused, lambda: arrive(shop, fleet)).field == "injectors.0.serial"
    late = {"due_on": date(2026, 3, 1)}
    assert refused(shop, Refused, lambda: arrive(shop, fleet, injector(fleet, "A-1"), **late)).field == "due_on"


def test_a_type_without_an_approved_sheet_is_not_received(shop: Shop, fleet: Fleet) -> None:
    bare = save_injector_type(shop, fleet.manager, code="BARE", name="No sheet yet")
    engine = save_engine(
        shop,
        fleet.manager,
        vessel_id=fleet.vessel_id,
        designation="Second engine",
        cylinders=5,
        injectors_per_cylinder=1,
        injector_type_id=bare,
    )
    error = refused(shop, Refused, lambda: arrive(shop, fleet, injector(fleet, "A-1", engine_id=engine)))
    assert (error.code, error.field) == ("no-sheet", "injectors.0.engine_id")


def test_the_standing_order_is_the_one_of_the_day_of_receipt(shop: Shop, fleet: Fleet) -> None:
    number = receive(shop, fleet)[0]
    save_operator(shop, fleet.manager, name="Northern Invented Lines", operator_id=fleet.operator_id, version=1)
    assert loaded(shop, number).record.standing_order == {Disposition.REWORK}
    assert loaded(shop, receive(shop, fleet, "A-2")[0]).record.standing_order == frozenset()
