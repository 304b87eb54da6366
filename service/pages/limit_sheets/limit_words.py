"""What a sheet asks, in words, also where a draft is not finished."""

from collections.abc import Iterator

from service.metrology.errors import DomainError
from service.metrology.typed_numbers import plain
from service.pages.limit_sheets.hole_words import hole_limits_in_words
from service.workshop.limit_sheet import (
    AnyCharacteristic,
    OvalityCharacteristic,
    PinCharacteristic,
    RoundnessCharacteristic,
    SizeCharacteristic,
    VisualCharacteristic,
    YesNoCharacteristic,
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
    VentStep,
)

CHARACTERISTIC_KINDS = {
    "size": "Size",
    "gauge-pins": "Gauge pins",
    "ovality": "Ovality",
    "roundness": "Roundness",
    "visual": "Visual",
    "yes-no": "Yes or no",
}
STEP_KINDS = {
    "vent": "Fill and vent",
    "flush": "Flush",
    "strokes": "Opening strokes",
    "seat-tightness": "Seat tightness",
    "opening-pressure": "Opening pressure",
    "emission": "Emission from each hole",
    "quick-drop": "Quick pressure drop",
    "external-tightness": "External tightness",
    "back-leakage": "Back leakage",
}


def limits_in_words(item: SizeCharacteristic) -> str:
    """The limits of size, or why there are none."""
    try:
        lower, upper = item.limits.bounds
    except DomainError as error:
        return error.sentence
    unit, named = item.unit, f"{item.limits.designation}: " if item.limits.designation else ""
    if lower is not None and upper is not None:
        return f"{named}{plain(lower)} to {plain(upper)} {unit}"
    if lower is not None:
        return f"{named}at least {plain(lower)} {unit}"
    return f"{named}at most {plain(upper)} {unit}" if upper is not None else "No limit is given yet."


def asked(item: AnyCharacteristic) -> tuple[str, ...]:
    """What conforms, one line each."""
    match item:
        case SizeCharacteristic():
            return tuple(_size(item))
        case PinCharacteristic():
            pins = ", ".join(plain(pin) for pin in item.pins)
            return (
                f"Go pin {plain(item.go_pin)} mm enters each of {item.holes} holes",
                f"Reject pin {plain(item.reject_pin)} mm enters none",
                f"Pins: {pins} mm",
                f"When the go pin does not enter: {item.undersize_consequence.label.lower()}",
                *hole_limits_in_words(item),
            )
        case OvalityCharacteristic():
            return (
                f"At most {plain(item.limit)} mm",
                f"{item.sections} × {item.section_name}, {item.directions} directions each",
                *_instruments(item),
            )
        case RoundnessCharacteristic():
            return (f"Roundness deviation at most {plain(item.limit)} mm", *_evaluation(item), *_instruments(item))
        case VisualCharacteristic():
            return (*(f"{one.label}: {one.outcome.value}" for one in item.findings), *_magnification(item))
        case YesNoCharacteristic():
            return (f"{item.question} {'Yes' if item.required else 'No'} is required",)


def notes(item: AnyCharacteristic) -> tuple[str, ...]:
    """What else the technician must know."""
    found = []
    if item.replace_only:
        found.append("Replace only: never reworked")
    if item.recheck_after_rework:
        found.append("Examined again after rework")
    return tuple(found)


def step_asks(step: AnyStep) -> str:
    """What the step on the rig must show."""
    match step:
        case VentStep():
            return "Oil comes without air."
        case FlushStep():
            return f"Oil comes clean after {step.flush_s} s or more."
        case StrokesStep():
            return f"{step.strokes_min} to {step.strokes_max} full strokes."
        case SeatTightnessStep():
            return f"No oil for {step.hold_s} s at {plain(step.margin_bar)} bar below the set opening pressure."
        case OpeningPressureStep():
            return f"At least {step.strokes_min} strokes, their spread at most {plain(step.spread_max_bar)} bar."
        case EmissionStep():
            return f"Oil from each of {step.holes} holes."
        case QuickDropStep():
            return "The pressure drops at once on opening."
        case ExternalTightnessStep():
            return f"Dry for {step.hold_s} s at {plain(step.pressure_bar)} bar with the return blocked."
        case BackLeakageStep():
            least = "At most" if step.volume_min_ml is None else f"{plain(step.volume_min_ml)} to"
            volume = f"{least} {plain(step.volume_max_ml)} ml"
            return f"{volume} from the return in {step.time_s} s at {plain(step.pressure_bar)} bar."


def _size(item: SizeCharacteristic) -> Iterator[str]:
    yield limits_in_words(item)
    readings = f"{item.readings} {'reading' if item.readings == 1 else 'readings'}"
    yield f"{readings} of one place, their mean is judged" if item.repeats else readings
    yield from _instruments(item)
    if item.rework_until is not None:
        until = f"{plain(item.rework_until)} {item.unit}"
        yield f"Rework until {until}, past that: {item.beyond_rework.label.lower()}"


def _evaluation(item: RoundnessCharacteristic) -> tuple[str, str]:
    upr = item.cutoff_upr
    filtered = "No filter" if upr is None else f"Gaussian filter, cut-off {upr} undulations per revolution"
    return f"{item.reference.label} (ISO 12181-1)", filtered


def _instruments(item: SizeCharacteristic | OvalityCharacteristic | RoundnessCharacteristic) -> tuple[str, ...]:
    kinds = " or ".join(kind.label.lower() for kind in item.instruments)
    return (f"With {kinds}",) if kinds else ()


def _magnification(item: VisualCharacteristic) -> tuple[str, ...]:
    low, high = item.magnification_min, item.magnification_max
    if low is not None and high is not None:
        return (f"At {plain(low)} to {plain(high)} times magnification",)
    if low is not None:
        return (f"At {plain(low)} times magnification or more",)
    return (f"At up to {plain(high)} times magnification",) if high is not None else ()
