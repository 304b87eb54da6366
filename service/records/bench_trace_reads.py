"""Pressure traces of bench runs, read from their rows; the bytes only where they are asked for."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from sqlmodel import Session, col, select

from service.hydraulics.trace.accepted import EventAt, EventKind
from service.records.tables import BenchTracePiece, BenchTraceReading, BenchTraceRejection, BenchTraceRow


@dataclass(frozen=True, slots=True)
class KeptConfirmation:
    """Who confirmed how the trace is read, and what was said of the file then."""

    asked: Mapping[str, str]
    recorded_at: datetime
    person_name: str


@dataclass(frozen=True, slots=True)
class KeptRejection:
    """A rejected event with its reason."""

    event: EventAt
    reason: str
    recorded_at: datetime
    person_name: str


@dataclass(frozen=True, slots=True)
class KeptTrace:
    """A trace without its bytes; `confirmed` is None until somebody has confirmed how it is read."""

    id: int
    run: int
    step: str
    sent_asked: Mapping[str, str]
    recorded_at: datetime
    person_name: str
    size: int
    digests: tuple[str, ...]
    """SHA-256 of each piece, in the order in which they came: they tell the bytes apart without reading them."""
    confirmed: KeptConfirmation | None
    rejections: tuple[KeptRejection, ...]

    @property
    def asked(self) -> Mapping[str, str]:
        """What is said of the file: as confirmed, else as it was sent."""
        return self.sent_asked if self.confirmed is None else self.confirmed.asked


def traces_of(session: Session, overhaul_id: int) -> tuple[KeptTrace, ...]:
    """Every trace of the overhaul, oldest first, in four questions to the database."""
    rows = session.exec(
        select(BenchTraceRow).where(BenchTraceRow.overhaul_id == overhaul_id).order_by(col(BenchTraceRow.id))
    ).all()
    if not rows:
        return ()
    ids = [row.id for row in rows]
    pieces = session.exec(
        select(BenchTracePiece.trace_id, BenchTracePiece.size, BenchTracePiece.sha256)
        .where(col(BenchTracePiece.trace_id).in_(ids))
        .order_by(col(BenchTracePiece.id))
    ).all()
    readings = session.exec(
        select(BenchTraceReading).where(col(BenchTraceReading.trace_id).in_(ids)).order_by(col(BenchTraceReading.id))
    ).all()
    rejections = session.exec(
        select(BenchTraceRejection)
        .where(col(BenchTraceRejection.trace_id).in_(ids))
        .order_by(col(BenchTraceRejection.id))
    ).all()
    newest = {one.trace_id: one for one in readings}
    return tuple(
        KeptTrace(
            id=row.id or 0,
            run=row.run,
            step=row.step,
            sent_asked=json.loads(row.asked),
            recorded_at=row.recorded_at,
            person_name=row.person_name,
            size=sum(size for trace, size, _ in pieces if trace == row.id),
            digests=tuple(digest for trace, _, digest in pieces if trace == row.id),
            confirmed=_confirmation(newest.get(row.id or 0)),
            rejections=tuple(_rejection(one) for one in rejections if one.trace_id == row.id),
        )
        for row in rows
    )


def trace_bytes(session: Session, trace_id: int, pieces_known: int) -> bytes:
    """The file as far as it was known: that many pieces in the order in which they came."""
    statement = select(BenchTracePiece.content).where(BenchTracePiece.trace_id == trace_id)
    pieces: Sequence[bytes] = session.exec(statement.order_by(col(BenchTracePiece.id)).limit(pieces_known)).all()
    return b"".join(pieces)


def _confirmation(row: BenchTraceReading | None) -> KeptConfirmation | None:
    return None if row is None else KeptConfirmation(json.loads(row.asked), row.recorded_at, row.person_name)


def _rejection(row: BenchTraceRejection) -> KeptRejection:
    event = EventAt(EventKind(row.event), Decimal(row.at_s))
    return KeptRejection(event, row.reason, row.recorded_at, row.person_name)
