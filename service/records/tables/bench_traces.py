"""Pressure traces of bench runs. Rows are appended and never changed."""

from datetime import datetime

from sqlalchemy import LargeBinary, Text
from sqlmodel import Field, SQLModel

from service.records.column_types import UtcInstant


class BenchTraceRow(SQLModel, table=True):
    """A trace kept at one step of one run; `asked` is JSON of what was said of the file as it was sent."""

    __tablename__ = "bench_trace"

    id: int | None = Field(default=None, primary_key=True)
    overhaul_id: int = Field(foreign_key="overhaul.id", index=True)
    run: int
    step: str
    asked: str = Field(sa_type=Text)
    recorded_at: datetime = Field(sa_type=UtcInstant)
    person_id: int = Field(foreign_key="person.id", index=True)
    person_name: str
    form_key: str = Field(unique=True)


class BenchTracePiece(SQLModel, table=True):
    """Bytes of a trace as they were sent: the file, and what was appended to it while the run went on."""

    __tablename__ = "bench_trace_piece"

    id: int | None = Field(default=None, primary_key=True)
    trace_id: int = Field(foreign_key="bench_trace.id", index=True)
    content: bytes = Field(sa_type=LargeBinary)
    size: int
    sha256: str
    recorded_at: datetime = Field(sa_type=UtcInstant)
    person_id: int = Field(foreign_key="person.id", index=True)
    person_name: str
    form_key: str = Field(unique=True)


class BenchTraceReading(SQLModel, table=True):
    """That somebody confirmed how a trace is read, or corrected it; the newest is in force. `asked` is JSON."""

    __tablename__ = "bench_trace_reading"

    id: int | None = Field(default=None, primary_key=True)
    trace_id: int = Field(foreign_key="bench_trace.id", index=True)
    asked: str = Field(sa_type=Text)
    recorded_at: datetime = Field(sa_type=UtcInstant)
    person_id: int = Field(foreign_key="person.id", index=True)
    person_name: str
    form_key: str = Field(unique=True)


class BenchTraceRejection(SQLModel, table=True):
    """A detected event that counts for nothing, with the reason: an opening by its time, a hold by one within it."""

    __tablename__ = "bench_trace_rejection"

    id: int | None = Field(default=None, primary_key=True)
    trace_id: int = Field(foreign_key="bench_trace.id", index=True)
    event: str
    at_s: str
    reason: str = Field(sa_type=Text)
    recorded_at: datetime = Field(sa_type=UtcInstant)
    person_id: int = Field(foreign_key="person.id", index=True)
    person_name: str
    form_key: str = Field(unique=True)
