"""Journals for tests: invented rows, and an attacker who owns the database and lifts every guard of it."""

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta

from sqlalchemy import Connection, text

from service.records.journal import append_journal
from service.records.store import Store
from service.workshop.journal_chain import COLUMNS, START, StoredRow, chain_hash, row_text
from tests.registered_fleet import START as BEGINNING


def write_events(store: Store, count: int, *, at: datetime = BEGINNING) -> None:
    """So many rows of one a minute, each in a transaction of its own, by the way that the service writes."""
    for number in range(count):
        with store.change() as session:
            append_journal(
                session,
                at=at + timedelta(minutes=number),
                person=(None, "Tove Technician"),
                action="operator-saved",
                subject=("operator", f"Lines {number}"),
                reason="Asked for by letter.",
                after={"name": f"Lines {number}"},
            )


def stored_rows(store: Store) -> list[StoredRow]:
    """Every row as the database holds it."""
    return [tuple(row) for row in store.rows(f"SELECT {', '.join(COLUMNS)} FROM journal ORDER BY id")]  # type: ignore[misc]  # noqa: S608


def chained(*events: str) -> list[StoredRow]:
    """A chain of invented rows by hand, for rules that know no database; an event is its reason."""
    rows: list[StoredRow] = []
    last = START
    for row_id, reason in enumerate(events, start=1):
        at = f"2026-03-02T08:00:{row_id:02d}.000000Z"
        row = ("noted", "", at, "", row_id, None, "Tove Technician", reason, "S-1", "unit")
        written = row_text(*row)
        last = chain_hash(last, written)
        rows.append((*row, written, last))
    return rows


@contextmanager
def guards_lifted(store: Store, table: str = "journal") -> Iterator[Connection]:
    """A connection that may do anything to the table; the guards are put back, as an attacker would."""
    with store.write_engine.begin() as connection:
        if store.is_sqlite:
            triggers = connection.execute(
                text("SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = :table"),
                {"table": table},
            ).all()
            for name, _ in triggers:
                connection.exec_driver_sql(f"DROP TRIGGER {name}")
            yield connection
            for _, sql in triggers:
                connection.exec_driver_sql(sql)
        else:
            connection.exec_driver_sql(f"ALTER TABLE {table} DISABLE TRIGGER USER")
            yield connection
            connection.exec_driver_sql(f"ALTER TABLE {table} ENABLE TRIGGER USER")


def rewrite_from(connection: Connection, first: int) -> None:
    """Give every row from that one on the text and the hash that its columns ask for: a whole new tail."""
    names = ", ".join(COLUMNS)
    rows = [tuple(row) for row in connection.exec_driver_sql(f"SELECT {names} FROM journal ORDER BY id")]  # noqa: S608
    last = START
    for row in rows:
        if row[4] >= first:
            written = row_text(*row[:10])
            last = chain_hash(last, written)
            connection.execute(
                text("UPDATE journal SET canonical_text = :text, chain_hash = :hash WHERE id = :id"),
                {"text": written, "hash": last, "id": row[4]},
            )
        else:
            last = row[11]
