"""Chain the rows of the journal by hashes, so that a row changed behind the service's back is found out."""

import hashlib
from collections.abc import Iterator, Sequence
from json.encoder import encode_basestring
from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

_BATCH = 5_000
_TEXTS = ("action", "after", "at", "before", "person_name", "reason", "subject_id", "subject_kind")
_NAMES = sorted((*_TEXTS, "id", "person_id"))


def upgrade() -> None:
    # By ADD COLUMN, which leaves the table and its triggers as they are.
    op.add_column("journal", sa.Column("canonical_text", sa.Text(), server_default="", nullable=False))
    op.add_column("journal", sa.Column("chain_hash", sa.String(64), server_default="", nullable=False))
    op.add_column("certificate", sa.Column("journal_head", sa.String(64), server_default="", nullable=False))
    connection = op.get_bind()
    sqlite = connection.dialect.name == "sqlite"
    _lift_guard(sqlite)
    _fill(connection)
    _put_guard_back(sqlite)
    if sqlite:
        # INSERT OR REPLACE deletes the row that is in its way without a word to the trigger on deletions.
        op.execute(
            "CREATE TRIGGER journal_no_replace BEFORE INSERT ON journal "
            "WHEN EXISTS (SELECT 1 FROM journal WHERE id = NEW.id) "
            "BEGIN SELECT RAISE(ABORT, 'journal rows are never changed'); END"
        )


def _lift_guard(sqlite: bool) -> None:
    op.execute("DROP TRIGGER journal_no_update" if sqlite else "ALTER TABLE journal DISABLE TRIGGER journal_no_update")


def _put_guard_back(sqlite: bool) -> None:
    if sqlite:
        op.execute(
            "CREATE TRIGGER journal_no_update BEFORE UPDATE ON journal "
            "BEGIN SELECT RAISE(ABORT, 'journal rows are never changed'); END"
        )
    else:
        op.execute("ALTER TABLE journal ENABLE TRIGGER journal_no_update")


def _fill(connection: sa.Connection) -> None:
    """The chain over the rows there are, in the order they were written."""
    filling = sa.text("UPDATE journal SET canonical_text = :text, chain_hash = :hash WHERE id = :id")
    last = "0" * 64
    for rows in _batches(connection):
        links = []
        for row in rows:
            text = _canonical(row)
            last = hashlib.sha256(f"{last}{text}".encode()).hexdigest()
            links.append({"id": row["id"], "text": text, "hash": last})
        connection.execute(filling, links)


def _batches(connection: sa.Connection) -> Iterator[Sequence[Any]]:
    reading = sa.text(f"SELECT {', '.join(_NAMES)} FROM journal WHERE id > :after ORDER BY id LIMIT {_BATCH}")  # noqa: S608
    after = 0
    while rows := connection.execute(reading, {"after": after}).mappings().all():
        yield rows
        after = rows[-1]["id"]


def _canonical(row: Any) -> str:
    """JSON by RFC 8785. Written here once more: what this migration did never changes with the program."""
    members = (
        f'"{name}":{encode_basestring(row[name]) if name in _TEXTS else "null" if row[name] is None else row[name]}'
        for name in _NAMES
    )
    return "{" + ",".join(members) + "}"
