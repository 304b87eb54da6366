"""The form of each kind of characteristic, and the measurement that it was filled in with."""

from dataclasses import dataclass
from decimal import Decimal

from service.actions.examining import (
    Measure,
    ovality_reading,
    pin_reading,
    roundness_reading,
    size_reading,
    visual_finding,
    yes_no_answer,
)
from service.actions.shop import Refused, Shop
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import grouped, parse_decimal, plain
from service.pages.choices import Option
from service.pages.overhauls.profile_form import COLUMNS, typed_profile
from service.pages.typed_forms import Typed, errors_of
from service.workshop.examination.pins_tried import PinsContradict
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
from service.workshop.section_profile import MOST_ROWS
from service.workshop.vocabulary import InstrumentKind


@dataclass(frozen=True)
class PinBox:
    """One pin in one hole: the name of its two answers."""

    name: str
    pin: str
    place: str


@dataclass(frozen=True)
class PinRow:
    """One hole with every pin; `name` is where an error of the hole is shown."""

    name: str
    label: str
    boxes: tuple[PinBox, ...]


@dataclass(frozen=True)
class SectionRow:
    """One section of an ovality measurement with a box for each direction."""

    name: str
    label: str
    directions: tuple[str, ...]


@dataclass(frozen=True)
class MeasurementForm:
    """What the form of one characteristic shows; what its kind does not need is empty."""

    kind: str
    unit: str = ""
    readings: tuple[str, ...] = ()
    pins: tuple[str, ...] = ()
    holes: tuple[PinRow, ...] = ()
    sections: tuple[SectionRow, ...] = ()
    columns: tuple[Option, ...] = ()
    rows_most: str = ""
    findings: tuple[Option, ...] = ()
    magnification: str = ""
    question: str = ""
    instrument_kinds: tuple[InstrumentKind, ...] = ()
    instrument_unit: str | None = None
    asks_instrument: bool = False
    asks_temperature: bool = False
    lists: tuple[str, ...] = ()
    """Names of the fields with several boxes."""


def measurement_form(item: AnyCharacteristic) -> MeasurementForm:
    """The form for that characteristic."""
    match item:
        case SizeCharacteristic():
            labels = tuple(f"Reading {place}" for place in range(1, item.readings + 1))
            return MeasurementForm(
                kind=item.kind,
                unit=item.unit,
                readings=labels,
                instrument_kinds=item.instruments,
                instrument_unit=item.unit,
                asks_instrument=True,
                asks_temperature=item.unit == "mm",
                lists=("readings",) if item.readings > 1 else (),
            )
        case PinCharacteristic():
            return MeasurementForm(
                kind=item.kind,
                pins=tuple(_pin_words(item, pin) for pin in item.pins),
                holes=tuple(_hole(item, hole) for hole in range(1, item.holes + 1)),
                instrument_kinds=(InstrumentKind.PIN_SET,),
                instrument_unit="mm",
                asks_instrument=True,
            )
        case OvalityCharacteristic():
            sections = tuple(_section(item, number) for number in range(1, item.sections + 1))
            return MeasurementForm(
                kind=item.kind,
                unit="mm",
                sections=sections,
                instrument_kinds=item.instruments,
                instrument_unit="mm",
                asks_instrument=True,
                lists=tuple(section.name for section in sections),
            )
        case RoundnessCharacteristic():
            return MeasurementForm(
                kind=item.kind,
                unit="mm",
                columns=COLUMNS,
                rows_most=grouped(MOST_ROWS),
                instrument_kinds=item.instruments,
                instrument_unit="mm",
                asks_instrument=True,
            )
        case VisualCharacteristic():
            return MeasurementForm(
                kind=item.kind,
                findings=tuple(
                    Option(choice.key, choice.label, choice.outcome.value.capitalize()) for choice in item.findings
                ),
                magnification=magnification_words(item),
                instrument_kinds=(InstrumentKind.MICROSCOPE,),
                asks_instrument=item.magnification_min is not None,
                lists=("findings",),
            )
        case YesNoCharacteristic():
            return MeasurementForm(kind=item.kind, question=item.question)


def magnification_words(item: VisualCharacteristic) -> str:
    """The magnification that the sheet asks for, '' where it asks for none."""
    low, high = item.magnification_min, item.magnification_max
    if low is not None and high is not None:
        return f"{plain(low)}× to {plain(high)}×"
    if low is not None:
        return f"at least {plain(low)}×"
    return f"at most {plain(high)}×" if high is not None else ""


def measured(shop: Shop, item: AnyCharacteristic, typed: Typed) -> Measure:
    """What was typed, as the measurement that the action takes. Raises a DomainError beside its field."""
    instrument = typed.text("instrument")
    match item:
        case SizeCharacteristic():
            bench_c = typed.quantity("bench_temperature", "°C") if typed.text("bench_temperature") else None
            return size_reading(shop, typed.quantities("readings", item.unit), instrument, bench_c)
        case PinCharacteristic():
            return pin_reading(shop, _passes(item, typed), instrument)
        case OvalityCharacteristic():
            names = [_section_name(number) for number in range(1, item.sections + 1)]
            diameters = tuple(typed.quantities(name, "mm") for name in names)
            return ovality_reading(shop, diameters, instrument)
        case RoundnessCharacteristic():
            return roundness_reading(shop, typed_profile(typed), instrument)
        case VisualCharacteristic():
            magnification = _magnification(typed)
            return visual_finding(shop, typed.many("findings"), magnification, instrument, typed.text("remark"))
        case YesNoCharacteristic():
            if typed.text("answer") not in ("yes", "no"):
                raise Refused("answer", "Answer yes or no.", "answer")
            return yes_no_answer(typed.text("answer") == "yes")


def errors_told(error: DomainError, form: MeasurementForm) -> dict[str, str]:
    """An error of the rules beside its field, contradictory pins at every hole; '' where the form has no such field."""
    if isinstance(error, PinsContradict):
        return {f"hole-{hole.hole}": hole.sentence for hole in error.holes}
    elsewhere = ("diameters", "pins", "passes")
    return {"" if name in elsewhere else name: sentence for name, sentence in errors_of(error).items()}


def _passes(item: PinCharacteristic, typed: Typed) -> tuple[PinTried, ...]:
    """Every pin that was answered."""
    answers = {"enters": True, "not": False}
    return tuple(
        PinTried(hole=hole, pin=pin, enters=answers[answer])
        for hole in range(1, item.holes + 1)
        for place, pin in enumerate(item.pins, start=1)
        if (answer := typed.text(_box_name(hole, place))) in answers
    )


def _hole(item: PinCharacteristic, hole: int) -> PinRow:
    boxes = tuple(
        PinBox(_box_name(hole, place), f"{plain(pin)} mm", f"Hole {hole}, {plain(pin)} mm pin")
        for place, pin in enumerate(item.pins, start=1)
    )
    return PinRow(f"hole-{hole}", f"Hole {hole}", boxes)


def _box_name(hole: int, place: int) -> str:
    return f"hole-{hole}-pin-{place}"


def _pin_words(item: PinCharacteristic, pin: Decimal) -> str:
    role = " (go)" if pin == item.go_pin else " (reject)" if pin == item.reject_pin else ""
    return f"{plain(pin)} mm{role}"


def _section(item: OvalityCharacteristic, number: int) -> SectionRow:
    step = Decimal(180) / item.directions
    angles = tuple(f"{plain((step * turn).quantize(Decimal('0.1')))}°" for turn in range(item.directions))
    return SectionRow(_section_name(number), f"{item.section_name.capitalize()} {number}", angles)


def _section_name(number: int) -> str:
    return f"section-{number}"


def _magnification(typed: Typed) -> Decimal | None:
    text = typed.text("magnification").rstrip("×xX ").strip()
    return parse_decimal(text, "magnification") if text else None
