"""Appending to the journal: collected while a change is made, written as its last act, one writer at a time."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import insert, text
from sqlmodel import Session, col, select

from service.records.column_types import instant_text
from service.records.json_text import canonical
from service.records.tables import JournalRow
from service.workshop.journal_chain import START, chain_hash, row_text

_EVENTS = "journal events"
_ONE_WRITER = text("SELECT pg_advisory_xact_lock(:key)")
_KEY = 0x6A6F75726E616C
"""Names the lock among others of the database: the word journal in ASCII."""


@dataclass(frozen=True)
class JournalHead:
    """The newest row: whoever knows its hash can tell later whether anything up to it was touched."""

    row_id: int
    hash: str


def append_journal(
    session: Session,
    *,
    at: datetime,
    person: tuple[int | None, str],
    action: str,
    subject: tuple[str, str],
    reason: str = "",
    before: Any = None,
    after: Any = None,
) -> None:
    """Have one business event written in the caller's transaction, as `Store.change` ends it.

    `person` is (id, name as it was), `subject` is (kind, identifier); `before` and `after` are plain JSON values.
    """
    session.info.setdefault(_EVENTS, []).append(
        {
            "action": action,
            "after": "" if after is None else canonical(after),
            "at": instant_text(at),
            "before": "" if before is None else canonical(before),
            "person_id": person[0],
            "person_name": person[1],
            "reason": reason,
            "subject_id": subject[1],
            "subject_kind": subject[0],
        }
    )


def write_journal(session: Session) -> None:
    """Write the collected events as the next links of the chain; nothing else may be written after it.

    Two writers must not take the same row for the one before. SQLite's immediate transactions let only one in. On
    PostgreSQL a lock does, held from here to the commit: everything else has been sent by now, so that who holds it
    waits for nobody (the key of the person is shared, and nobody changes one), and no two can wait for each other.
    The number is the next one and not the sequence's: were there two writers after all, the second would be refused.
    """
    events = session.info.pop(_EVENTS, ())
    if not events:
        return
    session.flush()
    if session.get_bind().dialect.name != "sqlite":
        session.connection().execute(_ONE_WRITER, {"key": _KEY})
    head = journal_head(session)
    row_id, last = head.row_id, head.hash
    rows = []
    for event in events:
        row_id += 1
        written = row_text(row_id=row_id, **event)
        last = chain_hash(last, written)
        rows.append(
            {**event, "id": row_id, "at": datetime.fromisoformat(event["at"])}
            | {"canonical_text": written, "chain_hash": last}
        )
    session.connection().execute(insert(JournalRow), rows)


def journal_head(session: Session) -> JournalHead:
    """The newest row's number and hash; 0 and the hash of the start in an empty journal."""
    newest = select(JournalRow.id, JournalRow.chain_hash).order_by(col(JournalRow.id).desc()).limit(1)
    found = session.exec(newest).first()
    return JournalHead(found[0] or 0, found[1]) if found else JournalHead(0, START)
