"""How many statements the busy pages cost: a small fixed number, however many units and rigs there are."""

import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import Any

import pytest
from sqlalchemy import event

from service.actions.course import return_unrepaired
from service.actions.settling import settle_as_proposed
from service.actions.shop import Shop
from service.actions.test_rigs import save_test_rig
from service.records.store import Store
from service.records.unit_reads import units_beginning_with
from service.settings import Settings
from tests.application import application
from tests.pages.at_the_bench import Injector
from tests.pages.recutting import recut
from tests.pages.unit_register import receive
from tests.registered_fleet import PASSWORD, RIG_CARD, Clock, Fleet
from tests.small_findings import REJECTED

with warnings.catch_warnings():  # it asks for a successor of httpx that this project does not use
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

Count = Callable[[str, str], int]

GUARD = 1
PAGES = {
    ("office", "/units/SN-1001"): GUARD + 2,  # the unit with its overhauls, the entries of the newest
    ("manager", "/units/SN-1001"): GUARD + 2,
    ("office", "/units?serial=SN-1"): GUARD + 2,  # no such serial exactly, then those that begin so
    ("office", "/fleet"): GUARD + 3 + 3,  # vessels, in the shop, released; what waits, its sheets, its entries
    ("office", "/approvals"): GUARD + 3,
    ("manager", "/board"): GUARD + 5 + 1,  # the columns and the list of vessels, the test rigs
    ("manager", "/test-rigs"): GUARD + 4 + 1,  # the rigs, their gauges, oil and checks of today; the instruments
}


@contextmanager
def counted(store: Store) -> Iterator[list[str]]:
    """Every statement that the block sends, transactions' own left out."""
    sent: list[str] = []
    plain_rows = Store.rows

    def rows(self: Store, sql: str, params: Any = ()) -> list[Any]:
        if self.is_sqlite:  # on PostgreSQL the engine tells of it
            sent.append(sql)
        return plain_rows(self, sql, params)

    def told(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        if not statement.startswith(("BEGIN", "PRAGMA")):
            sent.append(statement)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Store, "rows", rows)
        event.listen(store.read_engine, "before_cursor_execute", told)
        event.listen(store.write_engine, "before_cursor_execute", told)
        yield sent


@pytest.fixture
def count(registered_store: Store, clock: Clock) -> Iterator[Count]:
    """Ask for a page as somebody, and count its statements."""
    app = application(Settings(database_url=registered_store.url), clock)
    with TestClient(app, base_url="http://127.0.0.1:8000") as client:

        def statements(login: str, path: str) -> int:
            client.cookies.clear()
            client.post("/sign-in", data={"login": login, "password": PASSWORD}, follow_redirects=False)
            assert client.get(path).status_code == 200  # connections opened, templates compiled
            with counted(app.state.shop.store) as sent:
                assert client.get(path).status_code == 200
            return len(sent)

        yield statements


def _asking(shop: Shop, fleet: Fleet, number: str) -> None:
    injector = Injector(shop, fleet.technician, number)
    injector.examined(spring_length=REJECTED["spring-length"])
    settle_as_proposed(shop, fleet.technician, number, injector.form())


def test_a_busy_page_costs_a_few_statements_however_many_units_and_rigs_there_are(
    shop: Shop, fleet: Fleet, count: Count
) -> None:
    _asking(shop, fleet, receive(shop, fleet, "SN-1001")[0])
    few = {page: count(*page) for page in PAGES}
    for crate in range(6):
        _asking(shop, fleet, receive(shop, fleet, *(f"SN-1{crate}{place:02d}X" for place in range(8)))[0])
        save_test_rig(shop, fleet.manager, replace(RIG_CARD, code=f"RIG-1{crate}"))
    many = {page: count(*page) for page in PAGES}
    assert few == PAGES
    assert many == PAGES


@pytest.mark.parametrize("operator_id", [None, 1])
def test_the_search_for_a_beginning_walks_an_index(shop: Shop, fleet: Fleet, operator_id: int | None) -> None:
    receive(shop, fleet, "SN-1001")
    with counted(shop.store) as sent:
        assert units_beginning_with(shop.store, "SN", operator_id)
    (statement,) = sent
    bounds: tuple[Any, ...] = ("SN", "SN~", 21)
    with shop.store.reading() as session:
        connection = session.connection()
        if shop.store.is_sqlite:
            asked = bounds if operator_id is None else (operator_id, *bounds, 21)
            plan = str(connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", asked).all())
            walked = "unit USING INDEX" if operator_id is None else "w USING COVERING INDEX ix_unit_vessel_id_serial"
            assert f"SEARCH {walked}" in plan
        else:
            asked = bounds if operator_id is None else (*bounds, operator_id, 21)
            connection.exec_driver_sql("SET LOCAL enable_seqscan = off")  # a table of one row is read through otherwise
            plan = connection.exec_driver_sql(f"EXPLAIN {statement}", asked).scalars().all()
            # Only where the column compares sign by sign do the bounds narrow the index itself.
            assert any("Index Cond" in line and ">= 'SN'" in line and "< 'SN~'" in line for line in plan), plan


def test_only_an_injector_that_came_back_costs_a_statement_more_for_its_drift(
    shop: Shop, fleet: Fleet, count: Count
) -> None:
    first = receive(shop, fleet, "SN-1001")[0]
    once = count("manager", "/units/SN-1001")
    return_unrepaired(shop, fleet.manager, first, Injector(shop, fleet.technician, first).form(), reason="Sent on.")
    receive(shop, fleet, "SN-1002", "SN-1001")
    assert count("manager", "/units/SN-1001") == once + 1


def test_only_a_page_that_tells_of_a_recut_seat_reads_the_workshops_cuts(
    shop: Shop, fleet: Fleet, count: Count
) -> None:
    injector = Injector(shop, fleet.technician, receive(shop, fleet, "SN-1001")[0])
    injector.examined()
    settlement, unit = f"{injector.address}/settlement", "/units/SN-1001"
    plain = count("manager", settlement)
    cut = Injector(shop, fleet.technician, receive(shop, fleet, "SN-1002")[0])
    recut(shop, cut, "1.100", "1.150")
    assert count("manager", f"{cut.address}/settlement") == plain + 1, "the cuts of the type, by one statement"
    assert count("manager", "/units/SN-1002") == PAGES["manager", unit] + 3, "sheets, sizes, the cuts of the type"
    assert count("manager", unit) == PAGES["manager", unit]
