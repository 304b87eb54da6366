"""Instruments and calibrations from their rows to domain values, and new calibrations back to rows."""

import json
from collections.abc import Iterable, Sequence
from decimal import Decimal

from sqlmodel import Session, col, select

from service.metrology.typed_numbers import plain
from service.records.json_text import canonical
from service.records.tables import CalibrationAnnulment, CalibrationRow, CalibrationScan, GaugePin, Instrument
from service.workshop.calibration import CalibratedPoint, Calibration, FoundState, InstrumentState
from service.workshop.instrument_fitness import RegisteredInstrument
from service.workshop.vocabulary import InstrumentKind


def registered(session: Session, row: Instrument) -> RegisteredInstrument:
    """The row as the rules want it."""
    kind = InstrumentKind(row.kind)
    pins = pins_of(session, row.id or 0) if kind is InstrumentKind.PIN_SET else ()
    return RegisteredInstrument(
        code=row.code,
        kind=kind,
        unit=row.unit,
        lower=_decimal(row.lower),
        upper=_decimal(row.upper),
        resolution=_decimal(row.resolution),
        repeatability=_decimal(row.repeatability),
        repeatability_readings=row.repeatability_readings,
        state=InstrumentState(row.state),
        reason=row.state_reason,
        pins=frozenset(pins) or None,
    )


def pins_of(session: Session, instrument_id: int) -> tuple[Decimal, ...]:
    """The nominal sizes (mm) of a set's pins, smallest first."""
    found = session.exec(select(GaugePin.nominal).where(GaugePin.instrument_id == instrument_id))
    return tuple(sorted(Decimal(nominal) for nominal in found))


def put_pins(session: Session, instrument_id: int, pins: Iterable[Decimal]) -> None:
    """Make these the pins of the set."""
    wanted = {plain(pin) for pin in pins}
    for row in session.exec(select(GaugePin).where(GaugePin.instrument_id == instrument_id)).all():
        if row.nominal in wanted:
            wanted.discard(row.nominal)
        else:
            session.delete(row)
    session.add_all(GaugePin(instrument_id=instrument_id, nominal=nominal) for nominal in sorted(wanted))


def calibration_rows(
    session: Session, instrument_id: int
) -> Sequence[tuple[CalibrationRow, CalibrationAnnulment | None]]:
    """The instrument's calibrations in the order in which they were recorded, each with its annulment."""
    annulled = col(CalibrationAnnulment.calibration_id) == CalibrationRow.id
    statement = select(CalibrationRow, CalibrationAnnulment).outerjoin(CalibrationAnnulment, annulled)
    mine = statement.where(CalibrationRow.instrument_id == instrument_id)
    return session.exec(mine.order_by(col(CalibrationRow.id))).all()


def calibrations_of(session: Session, instrument_id: int) -> tuple[Calibration, ...]:
    """As `calibration_rows`, as the rules want them."""
    return tuple(
        calibration_of(row, annulled is not None) for row, annulled in calibration_rows(session, instrument_id)
    )


def calibration_of(row: CalibrationRow, annulled: bool = False) -> Calibration:
    """The row as the rules want it."""
    return Calibration(
        certificate=row.certificate,
        on=row.calibrated_on,
        due=row.due,
        laboratory=row.laboratory,
        expanded_uncertainty=Decimal(row.expanded_uncertainty),
        k=Decimal(row.k),
        found=FoundState(row.found),
        points=tuple(
            CalibratedPoint(nominal=Decimal(nominal), error=Decimal(error)) for nominal, error in json.loads(row.points)
        ),
        annulled=annulled,
    )


def points_text(points: Iterable[CalibratedPoint]) -> str:
    """The stored form of the points, smallest nominal first."""
    ordered = sorted(points, key=lambda point: point.nominal)
    return canonical([[plain(point.nominal), plain(point.error)] for point in ordered])


def calibration_of_instrument(session: Session, code: str, calibration_id: int) -> CalibrationRow | None:
    """That calibration if it is one of the instrument with that code."""
    statement = (
        select(CalibrationRow)
        .join(Instrument, col(Instrument.id) == CalibrationRow.instrument_id)
        .where(Instrument.code == code, CalibrationRow.id == calibration_id)
    )
    return session.exec(statement).first()


def scan_of_calibration(session: Session, calibration_id: int, scan_id: int) -> CalibrationScan | None:
    """That scan if it is one of the calibration."""
    statement = select(CalibrationScan).where(
        CalibrationScan.id == scan_id, CalibrationScan.calibration_id == calibration_id
    )
    return session.exec(statement).first()


def _decimal(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)
