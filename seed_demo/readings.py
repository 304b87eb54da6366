"""Invented readings for a characteristic or a bench step: good ones, and the defects that the scenario needs."""

import math
from collections.abc import Sequence
from decimal import Decimal

from seed_demo.instruments import USUAL
from service.actions.examining import (
    Measure,
    ovality_reading,
    pin_reading,
    roundness_reading,
    size_reading,
    visual_finding,
    yes_no_answer,
)
from service.actions.shop import Shop
from service.workshop.limit_sheet import (
    AnyCharacteristic,
    OvalityCharacteristic,
    PinCharacteristic,
    RoundnessCharacteristic,
    SizeCharacteristic,
    VisualCharacteristic,
    YesNoCharacteristic,
)
from service.workshop.measurements import PinTried
from service.workshop.section_profile import profile_from_rows
from service.workshop.step_results import (
    BackLeakageResult,
    EmissionResult,
    ExternalTightnessResult,
    FlushResult,
    OpeningPressureResult,
    QuickDropResult,
    SeatTightnessResult,
    StepResult,
    StrokesResult,
    VentResult,
)
from service.workshop.test_plan import (
    AnyStep,
    BackLeakageStep,
    EmissionStep,
    ExternalTightnessStep,
    FlushStep,
    OpeningPressureStep,
    QuickDropStep,
    SeatTightnessStep,
    StrokesStep,
    TestPlan,
    VentStep,
)
from service.workshop.vocabulary import FindingOutcome, InstrumentKind, ProfileColumns

PINS, MICROSCOPE, SMALL_HOLES = USUAL[InstrumentKind.PIN_SET], USUAL[InstrumentKind.MICROSCOPE], "BG-02"


def sound(shop: Shop, item: AnyCharacteristic, variant: int = 0) -> Measure:
    """A reading that conforms; `variant` moves sizes a little so that no two injectors are twins."""
    match item:
        case SizeCharacteristic():
            values = tuple(_inside(item, variant + (0 if item.repeats else place)) for place in range(item.readings))
            if item.repeats:  # one place, so they scatter by the gauge's step and no more
                values = tuple(value + Decimal("0.001") * (place % 2) for place, value in enumerate(values))
            return size_reading(shop, values, USUAL[item.instruments[0]])
        case PinCharacteristic():
            return pins(shop, item)
        case OvalityCharacteristic():
            return ovality(shop, item, Decimal("0.003"))
        case RoundnessCharacteristic():
            return section(shop, item, oval_um=0.4 + 0.1 * (variant % 3), lobed_um=0.3)
        case VisualCharacteristic():
            good = next(choice for choice in item.findings if choice.outcome is FindingOutcome.ACCEPTABLE)
            return seen(shop, item, good.key)
        case YesNoCharacteristic():
            return yes_no_answer(item.required)


def _inside(item: SizeCharacteristic, variant: int) -> Decimal:
    lower, upper = item.limits.bounds
    tenths = Decimal(4 + variant % 3) / 10
    if lower is None or upper is None:
        limit = lower if lower is not None else upper
        assert limit is not None, "a sheet without faults has at least one limit"
        return limit * Decimal("1.01") if lower is not None else limit * tenths
    step = Decimal("0.001") if item.unit == "mm" else Decimal("0.1")
    return (lower + (upper - lower) * tenths).quantize(step)


def size(shop: Shop, item: AnyCharacteristic, *values: str, instrument: str = "") -> Measure:
    """These very readings."""
    assert isinstance(item, SizeCharacteristic), item.key
    return size_reading(shop, tuple(Decimal(value) for value in values), instrument or USUAL[item.instruments[0]])


def pins(
    shop: Shop, item: AnyCharacteristic, *, worn: Sequence[int] = (), blocked: Sequence[int] = (), larger: bool = False
) -> Measure:
    """Every pin in every hole: the reject pin enters the worn ones, no pin the blocked ones."""
    assert isinstance(item, PinCharacteristic), item.key
    entering = item.pins[-2] if larger else item.go_pin
    tried = tuple(
        PinTried(hole=hole, pin=pin, enters=hole not in blocked and (hole in worn or pin <= entering))
        for hole in range(1, item.holes + 1)
        for pin in item.pins
    )
    return pin_reading(shop, tried, PINS)


def ovality(shop: Shop, item: AnyCharacteristic, largest: Decimal, in_section: int = 1) -> Measure:
    """Round sections, apart from one whose widest and narrowest differ by `largest`."""
    assert isinstance(item, OvalityCharacteristic), item.key
    nominal = Decimal("1.060") if item.sections == 5 else Decimal("0.860")
    diameters = tuple(
        tuple(
            nominal + (largest if turn == 0 and section == in_section else Decimal("0.001") * (turn % 2))
            for turn in range(item.directions)
        )
        for section in range(1, item.sections + 1)
    )
    return ovality_reading(shop, diameters, SMALL_HOLES)


def section(shop: Shop, item: AnyCharacteristic, *, oval_um: float, lobed_um: float) -> Measure:
    """One turn in the roundness instrument, a little off its centre: amplitudes in µm of an oval and of three lobes."""
    assert isinstance(item, RoundnessCharacteristic), item.key
    rows = []
    for direction in range(0, 360, 2):
        turn = math.radians(direction)
        radius = 3.99 + (oval_um * math.cos(2 * turn) + lobed_um * math.cos(3 * turn + 1) + 8 * math.cos(turn)) / 1000
        rows.append((Decimal(direction), Decimal(f"{radius:.5f}")))
    return roundness_reading(shop, profile_from_rows(rows, ProfileColumns.TRACE), USUAL[item.instruments[0]])


def seen(shop: Shop, item: AnyCharacteristic, *findings: str, remark: str = "") -> Measure:
    """These findings, looked at 10 times where the sheet asks for a magnification."""
    assert isinstance(item, VisualCharacteristic), item.key
    magnified = item.magnification_min is not None
    at, microscope = (Decimal(10), MICROSCOPE) if magnified else (None, "")
    return visual_finding(shop, findings, at, microscope, remark)


def answered(answer: bool) -> Measure:
    """Yes or no."""
    return yes_no_answer(answer)


def passing(plan: TestPlan, step: AnyStep, variant: int = 0) -> StepResult:
    """A result with which the step passes."""
    match step:
        case VentStep():
            return VentResult(air_free=True)
        case FlushStep():
            return FlushResult(flushed_s=step.flush_s + 15, clean=True)
        case StrokesStep():
            return StrokesResult(strokes=step.strokes_min + 2)
        case SeatTightnessStep():
            held = plan.opening_set_bar - step.margin_bar + variant % 3
            return SeatTightnessResult(pressure_bar=held, held_s=step.hold_s + 5, dry=True)
        case OpeningPressureStep():
            return opening(*(plan.opening_set_bar + (variant + turn) % 4 for turn in range(step.strokes_min)))
        case EmissionStep():
            return EmissionResult(spraying=tuple(range(1, step.holes + 1)))
        case QuickDropStep():
            return QuickDropResult(seen=True)
        case ExternalTightnessStep():
            return ExternalTightnessResult(pressure_bar=step.pressure_bar, held_s=step.hold_s + 10, leaks=())
        case BackLeakageStep():
            caught = (step.volume_max_ml * (4 + variant % 3) / 10).quantize(Decimal("0.1"))
            return BackLeakageResult(pressure_bar=step.pressure_bar, measured_s=step.time_s, volume_ml=caught)


def opening(*strokes: Decimal | int) -> OpeningPressureResult:
    """Opening pressure of each stroke, bar."""
    return OpeningPressureResult(strokes_bar=tuple(Decimal(bar) for bar in strokes))
