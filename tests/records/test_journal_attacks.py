"""An attacker who owns the database, lifts its guards and puts them back: the journal still tells."""

from collections.abc import Callable

import pytest
from sqlalchemy import Connection, text

from service.records.journal import journal_head
from service.records.journal_verification import LATE, verify_journal
from service.records.store import Store
from service.startup_checks import startup_findings
from service.workshop.journal_chain import COLUMNS, row_text
from tests.journals import guards_lifted, rewrite_from, stored_rows, write_events

Attack = Callable[[Connection], None]
ROWS = 9


def sql(*statements: str) -> Attack:
    """An attack by statements."""

    def attack(connection: Connection) -> None:
        for statement in statements:
            connection.execute(text(statement))

    return attack


def edit_with_text(connection: Connection) -> None:
    """The column and the text that repeats it, but not the hash."""
    names = ", ".join(COLUMNS[:10])
    connection.execute(text("UPDATE journal SET reason = 'nothing happened' WHERE id = 4"))
    row = connection.exec_driver_sql(f"SELECT {names} FROM journal WHERE id = 4").one()  # noqa: S608
    connection.execute(text("UPDATE journal SET canonical_text = :text WHERE id = 4"), {"text": row_text(*row)})


def rewrite_one(connection: Connection) -> None:
    """A row with its text and its own hash: what a careful attacker does who forgets the rows after it."""
    edit_with_text(connection)
    hashes = dict(connection.exec_driver_sql("SELECT id, chain_hash FROM journal WHERE id > 4").all())  # type: ignore[arg-type]
    rewrite_from(connection, 4)
    for row_id, found in hashes.items():
        connection.execute(text("UPDATE journal SET chain_hash = :hash WHERE id = :id"), {"hash": found, "id": row_id})


COPIED = "at, person_name, action, subject_kind, subject_id, reason, before, after"
ATTACKS: dict[str, tuple[Attack, str]] = {
    "a row edited": (
        sql("UPDATE journal SET person_name = 'Somebody Else' WHERE id = 4"),
        "Row 4 was edited: person name is not as it was written.",
    ),
    "a row edited with its text": (edit_with_text, "Row 4 does not follow from row 3: it was edited"),
    "a row written anew with its hash": (rewrite_one, "or row 4 was written anew."),
    "a row deleted": (sql("DELETE FROM journal WHERE id = 4"), "Row 5 does not follow from row 3: row 4 is missing."),
    "the first row deleted": (
        sql("DELETE FROM journal WHERE id = 1"),
        "Row 2 does not follow from the start: row 1 is missing.",
    ),
    "a deleted row's number closed up": (
        sql(
            "DELETE FROM journal WHERE id = 9",
            "DELETE FROM journal WHERE id = 4",
            "UPDATE journal SET id = 4 WHERE id = 8",
        ),
        "Row 4 holds the text of row 8: rows were swapped or numbered anew.",
    ),
    "two rows swapped": (
        sql(
            "UPDATE journal SET id = 99 WHERE id = 4",
            "UPDATE journal SET id = 4 WHERE id = 7",
            "UPDATE journal SET id = 7 WHERE id = 99",
        ),
        "Row 4 holds the text of row 7",
    ),
    "a row inserted without its links": (
        sql(f"INSERT INTO journal (id, {COPIED}) SELECT 10, {COPIED} FROM journal WHERE id = 2"),  # noqa: S608
        "Row 10 has lost its text, or was put there without one.",
    ),
    "a row inserted as a copy of another": (
        sql(
            f"INSERT INTO journal (id, {COPIED}, canonical_text, chain_hash) "  # noqa: S608
            f"SELECT 10, {COPIED}, canonical_text, chain_hash FROM journal WHERE id = 9"
        ),
        "Row 10 holds the text of row 9",
    ),
}


@pytest.mark.parametrize("name", ATTACKS)
def test_the_first_broken_row_is_named_after(store: Store, name: str) -> None:
    attack, told = ATTACKS[name]
    write_events(store, ROWS)
    with guards_lifted(store) as connection:
        attack(connection)
    assert startup_findings(store) == () or not store.is_sqlite, "the guards are back: nothing shows on the outside"
    report = verify_journal(store)
    assert len(report.faults) == 1
    assert told in report.faults[0]


def test_a_tail_written_anew_holds_by_itself_and_a_head_noted_before_finds_it_out(store: Store) -> None:
    write_events(store, ROWS)
    with store.reading() as session:
        noted = journal_head(session)
    with guards_lifted(store) as connection:
        connection.execute(text("UPDATE journal SET reason = 'nothing happened' WHERE id = 4"))
        rewrite_from(connection, 4)
    assert verify_journal(store).faults == (), "whoever owns the database can forge a chain"
    assert "The given head is in no row" in verify_journal(store, head=noted.hash).faults[0]


def test_a_tail_that_was_cut_off_is_found_by_a_head_noted_before(store: Store) -> None:
    write_events(store, ROWS)
    early, late = stored_rows(store)[2][11], stored_rows(store)[-1][11]
    with guards_lifted(store) as connection:
        connection.execute(text("DELETE FROM journal WHERE id > 6"))
    assert verify_journal(store).faults == ()
    assert verify_journal(store, head=early).head_row == 3
    assert "cut off at the end" in verify_journal(store, head=late).faults[0]


def test_what_was_cut_off_stays_found_out_when_the_service_goes_on(store: Store) -> None:
    write_events(store, ROWS)
    noted = stored_rows(store)[-1][11]
    with guards_lifted(store) as connection:
        connection.execute(text("DELETE FROM journal WHERE id > 6"))
    write_events(store, 3)
    assert verify_journal(store).rows == ROWS
    assert verify_journal(store, head=noted).faults != ()


@pytest.mark.parametrize("database_kind", ["sqlite"])
def test_bytes_that_are_no_text_are_a_fault_and_not_a_failure(store: Store) -> None:
    """SQLite keeps whatever it is given, whatever the column's type."""
    write_events(store, ROWS)
    with guards_lifted(store) as connection:
        connection.execute(text("UPDATE journal SET reason = CAST(x'ff' AS TEXT) WHERE id = 4"))
    assert "cannot be read" in verify_journal(store).faults[0]
    with guards_lifted(store) as connection:
        connection.execute(text("UPDATE journal SET reason = x'ff' WHERE id = 4"))
    assert verify_journal(store).faults == ("Row 4 was edited: something in it is no text.",)


def test_many_rows_out_of_order_are_counted_and_the_first_are_named(store: Store) -> None:
    write_events(store, LATE + 5)
    with guards_lifted(store) as connection:
        if store.is_sqlite:
            connection.execute(text("UPDATE journal SET at = '2026-03-02T07:00:00.' || (200000 - id) || 'Z'"))
        else:
            connection.execute(text("UPDATE journal SET at = '2026-03-02T07:00:00.' || (200000 - id)::text || 'Z'"))
        rewrite_from(connection, 1)
    report = verify_journal(store)
    assert report.faults == ()
    assert report.out_of_order_count == LATE + 4
    assert [one.row_id for one in report.out_of_order] == list(range(2, LATE + 2))
