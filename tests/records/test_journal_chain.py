"""Writing the journal's chain: one writer at a time on both databases, in the transaction of the change itself."""

import contextlib
import threading
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError
from sqlmodel import Session

from service.actions.settling import settle_as_proposed
from service.actions.shop import Shop
from service.records.journal import JournalHead, append_journal, journal_head
from service.records.journal_verification import verify_journal
from service.records.migrations import migrate
from service.records.store import Store
from service.records.tables import Operator
from service.startup_checks import startup_findings
from service.workshop.journal_chain import START
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to, form
from tests.databases import opened
from tests.journals import stored_rows, write_events
from tests.registered_fleet import START as BEGINNING
from tests.registered_fleet import Fleet

WRITERS, EACH = 6, 15


def note(session: Session, subject: str) -> None:
    """One event in the session's transaction."""
    append_journal(session, at=BEGINNING, person=(None, "Tove"), action="noted", subject=("operator", subject))


def test_an_empty_journal_has_the_start_as_its_head(store: Store) -> None:
    with store.reading() as session:
        assert journal_head(session) == JournalHead(0, START)
    assert verify_journal(store).faults == ()


def test_all_that_a_workshop_does_is_one_chain(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED)
    settle_as_proposed(shop, fleet.technician, number, form(shop, number))
    report = verify_journal(shop.store)
    rows = stored_rows(shop.store)
    assert report.faults == ()
    assert report.rows == len(rows) > 20
    assert [row[4] for row in rows] == list(range(1, len(rows) + 1))
    with shop.store.reading() as session:
        assert journal_head(session) == JournalHead(report.last_row, report.head)


def test_nothing_is_written_of_what_was_not_done(store: Store) -> None:
    write_events(store, 2)
    with contextlib.suppress(RuntimeError), store.change() as session:
        note(session, "A")
        raise RuntimeError("the power fails")
    write_events(store, 1)
    assert [row[4] for row in stored_rows(store)] == [1, 2, 3]
    assert verify_journal(store).faults == ()


def test_several_events_of_one_change_stand_in_their_order(store: Store) -> None:
    with store.change() as session:
        for subject in "ABC":
            note(session, subject)
    assert [row[8] for row in stored_rows(store)] == ["A", "B", "C"]
    assert verify_journal(store).rows == 3


def test_writers_of_several_servers_at_once_make_one_chain(store: Store) -> None:
    """Each with connections of its own, as two servers over one database have; some changes write several rows."""
    start = threading.Barrier(WRITERS)

    def write(place: int) -> None:
        with opened(store.url) as own:
            start.wait()
            for number in range(EACH):
                with own.change() as session:
                    session.add(Operator(name=f"Lines {place}-{number}"))
                    for _ in range(1 + number % 2):
                        note(session, f"{place}-{number}")

    with ThreadPoolExecutor(WRITERS) as pool:
        list(pool.map(write, range(WRITERS)))
    report = verify_journal(store)
    assert report.faults == ()
    assert report.rows == WRITERS * (EACH + EACH // 2)


@pytest.mark.parametrize("database_kind", ["postgresql"])
def test_two_who_change_the_same_row_and_the_journal_never_wait_for_each_other(store: Store) -> None:
    """The first journals early and changes the row late, the second the other way round: no deadlock."""
    with store.change() as session:
        session.add(Operator(id=1, name="Lines"))
    start = threading.Barrier(2)
    contact = text("UPDATE operator SET contact = contact || '.' WHERE id = 1")

    def write(early: bool) -> None:
        start.wait()
        for _ in range(40):
            with store.change() as session:
                if early:
                    note(session, "early")
                session.connection().execute(contact)
                if not early:
                    note(session, "late")

    with ThreadPoolExecutor(2) as pool:
        list(pool.map(write, (True, False)))
    assert verify_journal(store).rows == 80
    assert store.rows("SELECT length(contact) FROM operator")[0][0] == 80


def test_a_clock_set_back_is_told_and_breaks_nothing(store: Store) -> None:
    write_events(store, 3)
    write_events(store, 2, at=BEGINNING - timedelta(days=1))
    report = verify_journal(store)
    assert report.faults == ()
    assert report.out_of_order_count == 1
    (late,) = report.out_of_order
    assert (late.row_id, late.before_id) == (4, 3)


@pytest.mark.parametrize("database_kind", ["sqlite"])
@pytest.mark.parametrize("verb", ["INSERT OR REPLACE", "REPLACE"])
def test_sqlite_refuses_to_replace_a_row_by_an_insertion(store: Store, verb: str) -> None:
    write_events(store, 2)
    before = stored_rows(store)
    columns = "id, at, person_name, action, subject_kind, subject_id, reason, before, after"
    others = columns.replace("action", "'forged'")
    forged = f"{verb} INTO journal ({columns}) SELECT {others} FROM journal WHERE id = 1"  # noqa: S608
    with pytest.raises(DBAPIError, match="never changed"), store.write_engine.begin() as connection:
        connection.execute(text(forged))
    assert stored_rows(store) == before
    with store.write_engine.begin() as connection:
        connection.execute(text("DROP TRIGGER journal_no_replace"))
    assert "journal_no_replace" in startup_findings(store)[0].sentence


TAMPERING = (
    "UPDATE journal SET reason = 'nothing happened'",
    "DELETE FROM journal",
    "TRUNCATE journal",
    "CREATE TRIGGER mine BEFORE INSERT ON journal FOR EACH ROW EXECUTE FUNCTION journal_is_append_only()",
    "ALTER TABLE journal DISABLE TRIGGER journal_no_update",
    "DROP TRIGGER journal_no_update ON journal",
)


@pytest.mark.parametrize("database_kind", ["postgresql"])
def test_a_role_that_does_not_own_the_journal_appends_to_it_and_cannot_change_it(store: Store) -> None:
    """The privileges are taken back by `migrate`, whatever was granted before; the role still does its work."""
    role = f"spindle_app_{store.url.rpartition('/')[2].partition('?')[0]}"
    with store.write_engine.begin() as connection:
        connection.execute(text(f'CREATE ROLE "{role}"'))
        connection.execute(text(f'GRANT ALL ON ALL TABLES IN SCHEMA public TO "{role}"'))
    migrate(store)
    try:
        for tamper in TAMPERING:
            with pytest.raises(DBAPIError, match=r"permission denied|must be owner"):
                _as(store, role, tamper)
        with store.change() as session:
            session.connection().execute(text(f'SET LOCAL ROLE "{role}"'))
            note(session, "by the role")
        assert verify_journal(store).rows == 1
    finally:
        with store.write_engine.begin() as connection:
            connection.execute(text(f'DROP OWNED BY "{role}"'))
            connection.execute(text(f'DROP ROLE "{role}"'))


def _as(store: Store, role: str, sql: str) -> None:
    with store.write_engine.begin() as connection:
        connection.execute(text(f'SET LOCAL ROLE "{role}"'))
        connection.execute(text(sql))
