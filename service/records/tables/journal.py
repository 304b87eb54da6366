"""The journal: who changed what, when and why. Rows are appended and never changed; triggers see to it.

Should somebody pass by the triggers, the chain of hashes tells (`workshop/journal_chain.py`).
"""

from datetime import datetime

from sqlalchemy import Index, Text
from sqlmodel import Field, SQLModel

from service.records.column_types import UtcInstant
from service.workshop.journal_chain import HASH_DIGITS


class JournalRow(SQLModel, table=True):
    """One change, written in the transaction that made it. `before` and `after` are JSON texts."""

    __tablename__ = "journal"
    __table_args__ = (Index("ix_journal_subject", "subject_kind", "subject_id"),)

    id: int | None = Field(default=None, primary_key=True)
    at: datetime = Field(sa_type=UtcInstant)
    person_id: int | None = Field(default=None, foreign_key="person.id", index=True)
    person_name: str
    action: str
    subject_kind: str
    subject_id: str
    reason: str = Field(default="", sa_type=Text)
    before: str = Field(default="", sa_type=Text)
    after: str = Field(default="", sa_type=Text)
    canonical_text: str = Field(default="", sa_type=Text)
    """The row as canonical JSON (RFC 8785); the hash is over this."""
    chain_hash: str = Field(default="", max_length=HASH_DIGITS)
    """SHA-256 over the hash of the row before and the text of this one."""
