"""Reading the register of instruments for its pages: the list with today's calibrations, one instrument's history."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from sqlmodel import Session, col, select

from service.records.board_reads import stored_day
from service.records.calibration_store import calibration_of, calibration_rows, pins_of, registered
from service.records.store import Store
from service.records.tables import CalibrationAnnulment, CalibrationRow, CalibrationScan, Instrument
from service.workshop.calibration import Calibration, CalibrationState, InstrumentState, calibration_state
from service.workshop.instrument_fitness import RegisteredInstrument
from service.workshop.vocabulary import InstrumentKind

CALIBRATION_IN_FORCE = (
    "SELECT x.id FROM calibration x WHERE x.instrument_id = i.id AND (x.calibrated_on IS NULL OR x.calibrated_on <= ?) "
    "AND NOT EXISTS (SELECT 1 FROM calibration_annulment a WHERE a.calibration_id = x.id) "
    "ORDER BY x.calibrated_on IS NULL, x.calibrated_on DESC, x.id DESC LIMIT 1"
)
"""The rule of `service.workshop.calibration.in_force` in SQL: of the instrument `i` on the day that it is given."""


@dataclass(frozen=True, slots=True)
class InstrumentLine:
    """An instrument as lists show it on one day; `due` and the two texts before it are empty without calibration."""

    id: int
    code: str
    kind: InstrumentKind
    description: str
    unit: str
    location: str
    state: InstrumentState
    reason: str
    version: int
    expanded_uncertainty: str
    k: str
    certificate: str
    due: date | None
    revised_at: datetime | None
    standing: CalibrationState


@dataclass(frozen=True)
class ScanLine:
    """A scanned file without its bytes."""

    id: int
    media_type: str
    size: int
    sha256: str


@dataclass(frozen=True)
class Annulled:
    """Why, when and by whom a calibration was annulled."""

    reason: str
    at: datetime
    by: str


@dataclass(frozen=True)
class CalibrationLine:
    """One calibration of the history, those that were annulled among them."""

    id: int
    calibration: Calibration
    remark: str
    recorded_at: datetime
    recorded_by: str
    scans: tuple[ScanLine, ...]
    annulled: Annulled | None = None


@dataclass(frozen=True)
class InstrumentHistory:
    """One instrument with its pins (nominal mm) and every calibration, the newest first."""

    row: Instrument
    known: RegisteredInstrument
    pins: tuple[Decimal, ...]
    calibrations: tuple[CalibrationLine, ...]


_LIST = (
    "SELECT i.id, i.code, i.kind, i.description, i.unit, i.location, i.state, i.state_reason, i.version, "  # noqa: S608
    "c.expanded_uncertainty, c.k, c.certificate, c.due, c.recorded_at "
    f"FROM instrument i LEFT JOIN calibration c ON c.id = ({CALIBRATION_IN_FORCE}) ORDER BY i.code"
)


def instruments(store: Store, today: date) -> tuple[InstrumentLine, ...]:
    """Every instrument with the calibration in force: those in use first, by the day they are due."""
    lines = [_line(row, today) for row in store.rows(_LIST, (today.isoformat(),))]
    return tuple(sorted(lines, key=lambda one: (_SHUT.index(one.state), one.due or date.min, one.code)))


def due_list(store: Store, today: date) -> tuple[InstrumentLine, ...]:
    """What is to be calibrated when, latest first: every instrument that is not withdrawn."""
    kept = [one for one in instruments(store, today) if one.state is not InstrumentState.WITHDRAWN]
    return tuple(sorted(kept, key=lambda one: (one.due or date.min, one.code)))


def instrument_history(session: Session, code: str) -> InstrumentHistory | None:
    """The instrument with that code, None for an unknown one."""
    row = session.exec(select(Instrument).where(Instrument.code == code)).first()
    if row is None:
        return None
    rows = calibration_rows(session, row.id or 0)
    scans = _scans(session, row.id or 0)
    lines = [_calibration_line(one, annulled, scans.get(one.id or 0, ())) for one, annulled in rows]
    newest_first = sorted(lines, key=lambda line: (line.calibration.on or date.min, line.id), reverse=True)
    return InstrumentHistory(row, registered(session, row), pins_of(session, row.id or 0), tuple(newest_first))


_SHUT = (InstrumentState.IN_USE, InstrumentState.QUARANTINED, InstrumentState.WITHDRAWN)


def _line(row: Any, today: date) -> InstrumentLine:
    number, code, kind, description, unit, location, state, reason, version, uncertainty, k, certificate, due, at = row
    day = None if due is None else stored_day(due)
    return InstrumentLine(
        id=number,
        code=code,
        kind=InstrumentKind(kind),
        description=description,
        unit=unit,
        location=location,
        state=InstrumentState(state),
        reason=reason,
        version=version,
        expanded_uncertainty=uncertainty or "",
        k=k or "",
        certificate=certificate or "",
        due=day,
        revised_at=None if at is None else datetime.fromisoformat(at),
        standing=calibration_state(day, today, InstrumentState(state)),
    )


def _calibration_line(
    row: CalibrationRow, annulment: CalibrationAnnulment | None, scans: tuple[ScanLine, ...]
) -> CalibrationLine:
    why = None if annulment is None else Annulled(annulment.reason, annulment.recorded_at, annulment.person_name)
    one = calibration_of(row, why is not None)
    return CalibrationLine(row.id or 0, one, row.remark, row.recorded_at, row.person_name, scans, why)


def _scans(session: Session, instrument_id: int) -> dict[int, tuple[ScanLine, ...]]:
    """By calibration, without the bytes."""
    found = session.exec(
        select(  # type: ignore[call-overload]
            CalibrationScan.calibration_id,
            CalibrationScan.id,
            CalibrationScan.media_type,
            CalibrationScan.size,
            CalibrationScan.sha256,
        )
        .join(CalibrationRow, col(CalibrationRow.id) == CalibrationScan.calibration_id)
        .where(CalibrationRow.instrument_id == instrument_id)
        .order_by(col(CalibrationScan.id))
    )
    scans: dict[int, tuple[ScanLine, ...]] = {}
    for calibration_id, number, media_type, size, digest in found:
        scans[calibration_id] = (*scans.get(calibration_id, ()), ScanLine(number, media_type, size, digest))
    return scans
