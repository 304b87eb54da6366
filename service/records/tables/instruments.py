"""The register of instruments with the pins of gauge pin sets."""

from datetime import datetime

from sqlalchemy import Index
from sqlmodel import Field, SQLModel

from service.records.column_types import UtcInstant


class Instrument(SQLModel, table=True):
    """One instrument. Range and resolution are exact decimal text in `unit`, None where not stated.

    `repeatability` is the standard deviation of `repeatability_readings` repeats with it, None where nobody found it.
    `state` says whether the workshop lets it be used, `state_reason` why it does not.
    """

    __tablename__ = "instrument"

    id: int | None = Field(default=None, primary_key=True)
    code: str = Field(unique=True)
    kind: str
    description: str = ""
    unit: str
    lower: str | None = None
    upper: str | None = None
    resolution: str | None = None
    repeatability: str | None = None
    repeatability_readings: int | None = None
    location: str = Field(default="", sa_column_kwargs={"server_default": ""})
    state: str = Field(default="in-use", sa_column_kwargs={"server_default": "in-use"})
    state_reason: str = Field(default="", sa_column_kwargs={"server_default": ""})
    version: int = 1


class GaugePin(SQLModel, table=True):
    """One pin of a set by its nominal size, exact decimal text in mm. A set without pins was never listed."""

    __tablename__ = "gauge_pin"

    instrument_id: int = Field(primary_key=True, foreign_key="instrument.id")
    nominal: str = Field(primary_key=True)


class DueFeed(SQLModel, table=True):
    """A manager's calendar address; its secret part is only in the address, here is its SHA-256."""

    __tablename__ = "due_feed"
    __table_args__ = (Index("uq_due_feed_token_hash", "token_hash", unique=True),)

    person_id: int = Field(primary_key=True, foreign_key="person.id")
    token_hash: str
    created_at: datetime = Field(sa_type=UtcInstant)
