"""The journal: who changed what, when and why. Rows are appended and never changed; triggers see to it."""

from datetime import datetime

from sqlalchemy import Index, Text
from sqlmodel import Field, SQLModel

from service.records.column_types import UtcInstant


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
