"""One way to change, one way to read: the same on SQLite and on PostgreSQL."""

import contextlib
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from sqlalchemy.exc import DBAPIError, IntegrityError
from sqlmodel import Session, col, delete, func, select, text, update

from service.actions.shop import Shop
from service.records.numbering import next_number
from service.records.store import Store, TakenMeanwhile
from service.records.tables import Consignment, EntryRow, JournalRow, Operator, Overhaul, Unit, Vessel
from tests.actions.at_the_bench import receive, strip
from tests.databases import opened
from tests.registered_fleet import START, Fleet

THREADS = 8


def at_once(work: Callable[[int], object]) -> list[object]:
    """The same work in eight threads that start together."""
    start = threading.Barrier(THREADS)

    def wait_and_work(place: int) -> object:
        start.wait()
        return work(place)

    with ThreadPoolExecutor(THREADS) as pool:
        return list(pool.map(wait_and_work, range(THREADS)))


def test_a_change_is_stored_when_its_block_ends(store: Store) -> None:
    with store.change() as session:
        session.add(Operator(name="Invented Lines"))
    with store.reading() as session:
        assert session.exec(select(Operator.name)).all() == ["Invented Lines"]


def test_nothing_is_stored_half(store: Store) -> None:
    with contextlib.suppress(RuntimeError), store.change() as session:
        session.add(Operator(name="Invented Lines"))
        session.flush()
        raise RuntimeError("the power fails")
    with store.reading() as session:
        assert session.exec(select(Operator)).all() == []


def test_a_reading_session_cannot_write(store: Store) -> None:
    with store.reading() as session:
        session.add(Operator(name="Invented Lines"))
        with pytest.raises(DBAPIError):
            session.flush()


def test_eight_people_writing_at_once_all_succeed(store: Store) -> None:
    def write(place: int) -> None:
        for number in range(20):
            with store.change() as session:
                count = session.exec(select(func.count()).select_from(Operator)).one()
                session.add(Operator(name=f"{place}-{number}", contact=str(count)))

    at_once(write)
    assert store.rows("SELECT count(*) FROM operator")[0][0] == THREADS * 20


def test_numbers_have_no_gaps_and_no_doubles_whoever_asks_at_once(store: Store) -> None:
    def ask(place: int) -> list[str]:
        numbers = []
        for _ in range(10):
            with store.change() as session:
                numbers.append(next_number(session, "OH", START))
        return numbers

    given = sorted(number for numbers in at_once(ask) for number in numbers)  # type: ignore[attr-defined]
    assert given == [f"OH-2026-{number:04d}" for number in range(1, THREADS * 10 + 1)]


def test_a_number_that_was_not_used_is_given_again(store: Store) -> None:
    with contextlib.suppress(RuntimeError), store.change() as session:
        next_number(session, "RC", START, width=5)
        raise RuntimeError("not signed after all")
    with store.change() as session:
        assert next_number(session, "RC", START, width=5) == "RC-2026-00001"


def test_each_year_and_each_series_counts_for_itself(store: Store) -> None:
    with store.change() as session:
        assert next_number(session, "OH", datetime(2026, 12, 31, tzinfo=UTC)) == "OH-2026-0001"
        assert next_number(session, "OH", datetime(2027, 1, 1, tzinfo=UTC)) == "OH-2027-0001"
        assert next_number(session, "CN", datetime(2027, 1, 1, tzinfo=UTC)) == "CN-2027-0001"


def test_hot_rows_are_the_same_on_both_databases(registered_store: Store, fleet: Fleet) -> None:
    sql = "SELECT name, imo_number FROM vessel WHERE operator_id = ? AND name LIKE '%Star'"
    rows = [tuple(row) for row in registered_store.rows(sql, (fleet.operator_id,))]
    assert rows == [("Invented Star", fleet.imo)]
    assert registered_store.rows(sql, (0,)) == []


def test_hot_rows_see_the_newest_commit(store: Store) -> None:
    assert store.rows("SELECT count(*) FROM operator")[0][0] == 0
    with store.change() as session:
        session.add(Operator(name="Invented Lines"))
    assert store.rows("SELECT count(*) FROM operator")[0][0] == 1


def test_hot_rows_cannot_write(store: Store) -> None:
    with pytest.raises(Exception, match=r"readonly|read-only"):
        store.rows("DELETE FROM operator")


def test_a_vessel_without_its_operator_is_refused(store: Store) -> None:
    with pytest.raises(IntegrityError), store.change() as session:
        session.add(Vessel(operator_id=999, name="Orphan", imo_number="9000003"))


def test_one_unit_is_open_in_one_overhaul_only(shop: Shop, fleet: Fleet) -> None:
    number = receive(shop, fleet)[0]
    with shop.store.reading() as session:
        first = session.exec(select(Overhaul).where(Overhaul.number == number)).one()
    again = Overhaul(**{**first.model_dump(exclude={"id"}), "number": "OH-2026-9999"})
    with pytest.raises((IntegrityError, TakenMeanwhile)), shop.store.change() as session:
        session.add(again)
    with shop.store.change() as session:
        session.get_one(Overhaul, first.id).closed_at = START
    with shop.store.change() as session:
        session.add(Overhaul(**{**first.model_dump(exclude={"id"}), "number": "OH-2026-9999"}))
    with shop.store.reading() as session:
        assert len(session.exec(select(Overhaul).where(Overhaul.unit_id == first.unit_id)).all()) == 2


def test_a_serial_belongs_to_one_unit_of_a_type(shop: Shop, fleet: Fleet) -> None:
    receive(shop, fleet)
    with shop.store.reading() as session:
        unit = session.exec(select(Unit)).first()
    assert unit is not None
    with pytest.raises((IntegrityError, TakenMeanwhile)), shop.store.change() as session:
        session.add(Unit(**unit.model_dump(exclude={"id"})))


CHANGES: list[Callable[[Session], object]] = [
    lambda session: session.exec(update(JournalRow).values(reason="nothing happened")),
    lambda session: session.exec(delete(JournalRow)),
    lambda session: session.exec(update(EntryRow).values(title="something else")),
    lambda session: session.exec(delete(EntryRow)),
    lambda session: session.connection().execute(text("UPDATE entry SET payload = '{}' WHERE id > 0")),
]


@pytest.mark.parametrize("tamper", CHANGES, ids=["edit journal", "delete journal", "edit entry", "delete entry", "sql"])
def test_what_is_recorded_is_never_changed(shop: Shop, fleet: Fleet, tamper: Callable[[Session], object]) -> None:
    number = receive(shop, fleet)[0]
    strip(shop, fleet, number)
    before = _everything(shop.store)
    with pytest.raises(DBAPIError, match="rows are never changed"), shop.store.change() as session:
        tamper(session)
    assert _everything(shop.store) == before


@pytest.mark.parametrize("database_kind", ["postgresql"])
@pytest.mark.parametrize("emptied", ["journal", "entry CASCADE", "overhaul CASCADE", "person CASCADE"])
def test_what_is_recorded_is_not_emptied_away(shop: Shop, fleet: Fleet, emptied: str) -> None:
    number = receive(shop, fleet)[0]
    strip(shop, fleet, number)
    before = _everything(shop.store)
    with pytest.raises(DBAPIError, match="rows are never changed"), shop.store.change() as session:
        session.connection().execute(text(f"TRUNCATE {emptied}"))
    assert _everything(shop.store) == before


def _everything(store: Store) -> list[tuple[object, ...]]:
    tables = ("journal", "entry")
    return [tuple(row) for table in tables for row in store.rows(f"SELECT * FROM {table} ORDER BY id")]  # noqa: S608


def test_a_moment_keeps_its_zone_and_its_microseconds(shop: Shop, fleet: Fleet) -> None:
    moment = datetime(2026, 7, 1, 9, 30, 0, 123456, tzinfo=UTC)
    with shop.store.change() as session:
        session.add(_consignment(fleet, moment))
    with shop.store.reading() as session:
        stored = session.exec(select(Consignment.received_at).order_by(col(Consignment.id).desc())).first()
    assert stored == moment
    assert stored is not None
    assert stored.utcoffset() is not None


def test_a_moment_without_a_zone_is_refused(shop: Shop, fleet: Fleet) -> None:
    with pytest.raises(Exception, match="without a time zone"), shop.store.change() as session:
        session.add(_consignment(fleet, datetime(2026, 7, 1, 9, 30)))  # noqa: DTZ001


def _consignment(fleet: Fleet, moment: datetime) -> Consignment:
    return Consignment(
        number="CN-1", vessel_id=fleet.vessel_id, received_at=moment, due_on=date(2026, 8, 1), form_key="key-moment"
    )


def test_a_commit_waits_for_the_disk_unless_a_file_is_filled_in_a_hurry(tmp_path: Path) -> None:
    with opened(f"sqlite:///{tmp_path / 'filling.sqlite3'}") as store:
        assert _synchronous(store) == 2
        store.hurry()
        assert _synchronous(store) == 0


def _synchronous(store: Store) -> int:
    """What SQLite says of its commits: 2 waits for the disk, 0 does not."""
    with store.change() as session:
        return int(session.connection().exec_driver_sql("PRAGMA synchronous").scalar_one())
