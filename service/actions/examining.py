"""Stripping and examining."""

from collections.abc import Callable
from decimal import Decimal

from sqlmodel import Session

from service.actions.recording import Form, Recorded, record_entry
from service.actions.shop import BENCH, Actor, NotFound, Shop, require
from service.actions.taking_instruments import instrument_in_use, pins_in_use
from service.records.decision_rules import rule_in_force
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.entries import Examined, PartFound, Stripped
from service.workshop.examination import examine
from service.workshop.instrument_fitness import check_range
from service.workshop.limit_sheet import (
    AnyCharacteristic,
    OvalityCharacteristic,
    PinCharacteristic,
    RoundnessCharacteristic,
    SizeCharacteristic,
    VisualCharacteristic,
)
from service.workshop.measurements import (
    InstrumentUse,
    Measurement,
    OvalityMeasurement,
    PinMeasurement,
    PinTried,
    RoundnessMeasurement,
    SizeMeasurement,
    VisualMeasurement,
    YesNoMeasurement,
)
from service.workshop.pin_fitness import check_go_and_reject_pin
from service.workshop.reading_budget import bench_temperature
from service.workshop.section_profile import MeasuredProfile, evaluated, found_form
from service.workshop.vocabulary import InstrumentKind, Phase


def record_strip(
    shop: Shop,
    actor: Actor,
    number: str,
    form: Form,
    *,
    parts: tuple[PartFound, ...],
    seals_discarded: bool,
    remark: str = "",
) -> Recorded:
    """Record which parts came out and how, and that all seals were discarded."""
    require(actor, *BENCH)
    stripped = Stripped(parts=parts, seals_discarded=seals_discarded, remark=remark.strip())
    return record_entry(shop, actor, number, form, lambda loaded, session: stripped)


Measure = Callable[[Session, AnyCharacteristic], Measurement]


def record_examination(
    shop: Shop, actor: Actor, number: str, form: Form, *, characteristic: str, phase: Phase, measure: Measure
) -> Recorded:
    """Judge one characteristic and record measurement and verdict together.

    `measure` builds the measurement once the characteristic and its instrument are known: see `size_reading`
    and its neighbours. Raises NotFound for a characteristic that the pinned sheet does not list.
    """
    require(actor, *BENCH)

    def build(loaded: LoadedOverhaul, session: Session) -> Examined:
        item = loaded.record.sheet.characteristic_by_key.get(characteristic)
        if item is None:
            raise NotFound("no-characteristic", "The limit sheet has no such characteristic.")
        measurement = measure(session, item)
        outcome = examine(item, measurement, rule_in_force(session))
        return Examined(characteristic=item.key, part=item.part, phase=phase, measurement=measurement, outcome=outcome)

    return record_entry(shop, actor, number, form, build)


def size_reading(shop: Shop, readings: tuple[Decimal, ...], instrument: str, bench_c: Decimal | None = None) -> Measure:
    """Readings in the characteristic's unit with one instrument.

    `bench_c` is the temperature (°C) read at the bench, for a length; None is the workshop's usual one.
    """

    def measure(session: Session, item: AnyCharacteristic) -> Measurement:
        kinds = item.instruments if isinstance(item, SizeCharacteristic) else ()
        unit = item.unit if isinstance(item, SizeCharacteristic) else "mm"
        use = _use(shop, session, instrument, kinds, unit, readings)
        temperature = bench_temperature(bench_c, shop.bench) if unit == "mm" else None
        return SizeMeasurement(readings=readings, instrument=use, temperature=temperature)

    return measure


def pin_reading(shop: Shop, passes: tuple[PinTried, ...], instrument: str) -> Measure:
    """Every pin tried in every hole with one set of pins."""

    def measure(session: Session, item: AnyCharacteristic) -> Measurement:
        tried = tuple(one.pin for one in passes)
        use, calibrated = pins_in_use(session, instrument, tried=tried, on=shop.today)
        if isinstance(item, PinCharacteristic):
            check_go_and_reject_pin(item, use, calibrated)
        return PinMeasurement(passes=passes, instrument=use, calibrated=calibrated)

    return measure


def ovality_reading(shop: Shop, diameters: tuple[tuple[Decimal, ...], ...], instrument: str) -> Measure:
    """Two-point diameters in mm, section by section."""

    def measure(session: Session, item: AnyCharacteristic) -> Measurement:
        kinds = item.instruments if isinstance(item, OvalityCharacteristic) else ()
        values = tuple(value for section in diameters for value in section)
        return OvalityMeasurement(diameters=diameters, instrument=_use(shop, session, instrument, kinds, "mm", values))

    return measure


def roundness_reading(shop: Shop, profile: MeasuredProfile, instrument: str) -> Measure:
    """The profile of one section. A roundness instrument must reach the deviation, any other one the size across."""

    def measure(session: Session, item: AnyCharacteristic) -> Measurement:
        if not isinstance(item, RoundnessCharacteristic):
            use = _use(shop, session, instrument, (), "mm")
            return RoundnessMeasurement(columns=profile.columns, rows=profile.rows, instrument=use)
        found = found_form(item, evaluated(item, profile))
        use = _use(shop, session, instrument, item.instruments, "mm")
        reached = found.deviation if use.kind is InstrumentKind.ROUNDNESS_INSTRUMENT else found.across
        check_range(use, (reached,), "instrument")
        return RoundnessMeasurement(columns=profile.columns, rows=profile.rows, instrument=use)

    return measure


def visual_finding(
    shop: Shop, findings: tuple[str, ...], magnification: Decimal | None, instrument: str, remark: str = ""
) -> Measure:
    """What was seen; the microscope is named where the sheet asks for a magnification."""

    def measure(session: Session, item: AnyCharacteristic) -> Measurement:
        magnified = isinstance(item, VisualCharacteristic) and item.magnification_min is not None
        use = _use(shop, session, instrument, (InstrumentKind.MICROSCOPE,), None) if instrument or magnified else None
        return VisualMeasurement(findings=findings, magnification=magnification, instrument=use, remark=remark.strip())

    return measure


def yes_no_answer(answer: bool) -> Measure:
    """The answer to the characteristic's question."""
    return lambda session, item: YesNoMeasurement(answer=answer)


def _use(
    shop: Shop,
    session: Session,
    code: str,
    kinds: tuple[InstrumentKind, ...],
    unit: str | None,
    values: tuple[Decimal, ...] = (),
) -> InstrumentUse:
    return instrument_in_use(session, code, kinds=kinds, unit=unit, values=values, on=shop.today)
