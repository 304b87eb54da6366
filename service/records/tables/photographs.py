"""Photographs of an overhaul, and the holes measured in them. Rows are appended and never changed."""

from datetime import datetime

from sqlalchemy import LargeBinary, Text, UniqueConstraint
from sqlmodel import Field, SQLModel

from service.records.column_types import UtcInstant


class PhotographRow(SQLModel, table=True):
    """One photograph without its bytes. `subject` is 'arrival' or the key of a characteristic.

    `sha256` is of the bytes that are kept; `sent_sha256` of the file as it was sent, by which it is known again.
    """

    __tablename__ = "photograph"
    __table_args__ = (UniqueConstraint("overhaul_id", "sent_sha256"),)

    id: int | None = Field(default=None, primary_key=True)
    overhaul_id: int = Field(foreign_key="overhaul.id")
    subject: str
    media_type: str
    width: int
    height: int
    size: int
    sha256: str
    sent_sha256: str
    remark: str = Field(default="", sa_type=Text)
    recorded_at: datetime = Field(sa_type=UtcInstant)
    person_id: int = Field(foreign_key="person.id", index=True)
    person_name: str
    form_key: str = Field(unique=True)


class PhotographFile(SQLModel, table=True):
    """The bytes of a photograph: whole, as it is shown on a page, and as a thumbnail."""

    __tablename__ = "photograph_file"

    photograph_id: int = Field(primary_key=True, foreign_key="photograph.id")
    whole: bytes = Field(sa_type=LargeBinary)
    shown: bytes = Field(sa_type=LargeBinary)
    thumbnail: bytes = Field(sa_type=LargeBinary)


class HoleEvaluationRow(SQLModel, table=True):
    """A hole measured in a photograph, and what the technician decided. `scale` and `evaluation` are canonical JSON."""

    __tablename__ = "hole_evaluation"

    id: int | None = Field(default=None, primary_key=True)
    photograph_id: int = Field(foreign_key="photograph.id", index=True)
    hole: int
    scale: str = Field(sa_type=Text)
    evaluation: str = Field(sa_type=Text)
    accepted: bool
    reason: str = Field(default="", sa_type=Text)
    recorded_at: datetime = Field(sa_type=UtcInstant)
    person_id: int = Field(foreign_key="person.id", index=True)
    person_name: str
    form_key: str = Field(unique=True)
