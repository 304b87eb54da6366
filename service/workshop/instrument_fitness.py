"""Whether an instrument may be used for a reading on a day; if not, why, and what to do instead."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from service.metrology.errors import DomainError
from service.metrology.typed_numbers import plain
from service.workshop.calibration import Calibration, InstrumentState
from service.workshop.measurements import CalibratedPin, InstrumentUse
from service.workshop.vocabulary import InstrumentKind


class InstrumentRefused(DomainError):
    """An instrument that is not fit for the reading; the sentence ends with the remedy."""


@dataclass(frozen=True, kw_only=True)
class RegisteredInstrument:
    """An instrument as the register holds it; range and resolution in its unit, None where not stated.

    `repeatability` is the standard deviation (in its unit) of `repeatability_readings` repeats with it.
    `pins` are the nominal sizes of a gauge pin set that may be used; None where its pins were never listed.
    """

    code: str
    kind: InstrumentKind
    unit: str
    lower: Decimal | None = None
    upper: Decimal | None = None
    resolution: Decimal | None = None
    repeatability: Decimal | None = None
    repeatability_readings: int | None = None
    state: InstrumentState = InstrumentState.IN_USE
    reason: str = ""
    pins: frozenset[Decimal] | None = None


def fit_for_reading(
    instrument: RegisteredInstrument,
    calibration: Calibration | None,
    *,
    kinds: tuple[InstrumentKind, ...],
    unit: str | None,
    values: Sequence[Decimal] = (),
    on: date,
    field: str,
) -> InstrumentUse:
    """The instrument with the calibration in force on that day, as an entry keeps it.

    `kinds` empty takes any kind, `unit` None any unit; `values` are the readings in the instrument's unit.
    Raises InstrumentRefused with the code instrument-withdrawn, instrument-quarantined, instrument-kind,
    instrument-unit, no-calibration, calibration-due or instrument-range.
    """
    _check_state(instrument, field)
    if kinds and instrument.kind not in kinds:
        wanted = " or ".join(one.label.lower() for one in kinds)
        sentence = f"{instrument.code} is a {instrument.kind.label.lower()}; this needs a {wanted}."
        raise InstrumentRefused("instrument-kind", sentence, field)
    if unit is not None and instrument.unit != unit:
        sentence = f"{instrument.code} reads {instrument.unit}, not {unit}: take another."
        raise InstrumentRefused("instrument-unit", sentence, field)
    if calibration is None:
        sentence = f"{instrument.code} has no calibration in force: take another or have it calibrated."
        raise InstrumentRefused("no-calibration", sentence, field)
    if calibration.due < on:
        sentence = f"{instrument.code} was due for calibration on {calibration.due}: take another or calibrate it."
        raise InstrumentRefused("calibration-due", sentence, field)
    uncertainty, k = calibration.covering
    use = InstrumentUse(
        code=instrument.code,
        kind=instrument.kind,
        expanded_uncertainty=uncertainty,
        unit=instrument.unit,
        calibration=calibration.certificate,
        due=calibration.due,
        k=k,
        calibrated_on=calibration.on,
        resolution=instrument.resolution,
        repeatability=instrument.repeatability,
        repeatability_readings=instrument.repeatability_readings,
        lower=instrument.lower,
        upper=instrument.upper,
    )
    check_range(use, values, field)
    return use


def check_range(use: InstrumentUse, values: Sequence[Decimal], field: str) -> None:
    """Refuse values (in the instrument's unit) that the instrument does not reach. An open end reaches everything."""
    for value in values:
        if (use.lower is not None and value < use.lower) or (use.upper is not None and value > use.upper):
            sentence = (
                f"{use.code} measures {range_in_words(use.lower, use.upper, use.unit)}; {plain(value)} {use.unit} "
                "lies outside: check the digits, or take an instrument that reaches it."
            )
            raise InstrumentRefused("instrument-range", sentence, field)


def calibrated_pins(
    instrument: RegisteredInstrument, calibration: Calibration | None, tried: Sequence[Decimal], field: str
) -> tuple[CalibratedPin, ...]:
    """The pins (nominal mm) that were tried, each with its calibrated diameter, smallest first.

    Empty where the set's calibration names no pins. Raises InstrumentRefused: a pin that is not in the set
    (pin-not-in-set) or has no diameter on the certificate in force (pin-not-calibrated).
    """
    sizes = sorted(set(tried))
    if instrument.pins is not None:
        for size in sizes:
            if size not in instrument.pins:
                sentence = f"{instrument.code} has no pin of {plain(size)} mm in use: take a set that has it."
                raise InstrumentRefused("pin-not-in-set", sentence, field)
    if calibration is None or not calibration.points:
        return ()
    diameters = {point.nominal: point.diameter for point in calibration.points}
    for size in sizes:
        if size not in diameters:
            sentence = (
                f"Pin {plain(size)} mm of {instrument.code} has no calibrated diameter on {calibration.certificate}: "
                "take another set or have it calibrated."
            )
            raise InstrumentRefused("pin-not-calibrated", sentence, field)
    return tuple(CalibratedPin(nominal=size, diameter=diameters[size]) for size in sizes)


def range_in_words(lower: Decimal | None, upper: Decimal | None, unit: str) -> str:
    """A measuring range as it is said; '' where neither end is stated."""
    if lower is not None and upper is not None:
        return f"{plain(lower)} to {plain(upper)} {unit}"
    if upper is not None:
        return f"up to {plain(upper)} {unit}"
    return f"from {plain(lower)} {unit}" if lower is not None else ""


def _check_state(instrument: RegisteredInstrument, field: str) -> None:
    why = f" ({instrument.reason.rstrip('.')})" if instrument.reason else ""
    if instrument.state is InstrumentState.WITHDRAWN:
        sentence = f"{instrument.code} is withdrawn from use{why}: take another."
        raise InstrumentRefused("instrument-withdrawn", sentence, field)
    if instrument.state is InstrumentState.QUARANTINED:
        sentence = f"{instrument.code} is in quarantine{why}: take another, or ask a manager to release it."
        raise InstrumentRefused("instrument-quarantined", sentence, field)
