"""Taking an instrument into use for a reading, judged by the calibration in force on that day."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

from sqlmodel import Session

from service.actions.shop import Refused
from service.records.calibration_store import calibrations_of, registered
from service.records.registers import instrument_by_code
from service.records.tables import Instrument
from service.workshop.calibration import in_force
from service.workshop.instrument_fitness import calibrated_pins, fit_for_reading
from service.workshop.measurements import CalibratedPin, InstrumentUse
from service.workshop.vocabulary import InstrumentKind


def instrument_in_use(
    session: Session,
    code: str,
    *,
    kinds: tuple[InstrumentKind, ...],
    unit: str | None,
    on: date,
    values: Sequence[Decimal] = (),
    field: str = "instrument",
) -> InstrumentUse:
    """The instrument as it stands on that day, fit for the readings (`values` in its unit).

    `kinds` empty takes any kind; `unit` None takes any unit. Raises Refused (not in the register) or
    InstrumentRefused, either with the remedy.
    """
    row = _found(session, code, field)
    calibration = in_force(calibrations_of(session, row.id or 0), on)
    return fit_for_reading(
        registered(session, row), calibration, kinds=kinds, unit=unit, values=values, on=on, field=field
    )


def gauge_in_use(session: Session, code: str, *, on: date, values: Sequence[Decimal] = ()) -> InstrumentUse:
    """A rig's pressure gauge, fit for these pressures (bar). Raises as `instrument_in_use`, by the field `gauge`."""
    kinds = (InstrumentKind.PRESSURE_GAUGE,)
    return instrument_in_use(session, code, kinds=kinds, unit="bar", values=values, on=on, field="gauge")


def pins_in_use(
    session: Session, code: str, *, tried: Sequence[Decimal], on: date, field: str = "instrument"
) -> tuple[InstrumentUse, tuple[CalibratedPin, ...]]:
    """A set of gauge pins fit for use, and the pins (nominal mm) that were tried with their calibrated diameters."""
    use = instrument_in_use(session, code, kinds=(InstrumentKind.PIN_SET,), unit="mm", on=on, field=field)
    row = _found(session, code, field)
    calibration = in_force(calibrations_of(session, row.id or 0), on)
    return use, calibrated_pins(registered(session, row), calibration, tried, field)


def _found(session: Session, code: str, field: str) -> Instrument:
    row = instrument_by_code(session, code.strip().upper())
    if row is None:
        named = f"{code} is not in the register of instruments" if code.strip() else "No instrument is named"
        raise Refused("no-instrument", f"{named}: choose one from the list.", field)
    return row
