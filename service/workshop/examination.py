"""How one characteristic is judged: the limit sheet's demand against what was measured or seen."""

from collections.abc import Sequence
from decimal import Decimal

from service.metrology.conformity import Conforms, DoesNotConform, NotProven, Verdict
from service.metrology.errors import DomainError
from service.metrology.gauging import PinPass, bracket_hole
from service.metrology.ovality import DiameterReading, ovality, uncertainty_of_difference
from service.metrology.typed_numbers import plain
from service.metrology.units import check_magnitude
from service.workshop.decision_rule import DecisionRule
from service.workshop.limit_sheet import (
    AnyCharacteristic,
    OvalityCharacteristic,
    PinCharacteristic,
    SizeCharacteristic,
    VisualCharacteristic,
    YesNoCharacteristic,
)
from service.workshop.measurements import (
    Measurement,
    Outcome,
    OvalityMeasurement,
    PinMeasurement,
    SizeMeasurement,
    VisualMeasurement,
    YesNoMeasurement,
)
from service.workshop.vocabulary import Disposition, FindingOutcome, VerdictKind

_LARGEST = {"mm": Decimal(500), "N/mm": Decimal(100000), "N": Decimal(1000000)}
_SMALLEST = Decimal("0.001")
_KIND = {
    Conforms: VerdictKind.CONFORMS,
    NotProven: VerdictKind.NOT_PROVEN,
    DoesNotConform: VerdictKind.DOES_NOT_CONFORM,
}


class ExaminationRefused(DomainError):
    """A measurement that cannot be recorded as it stands."""


def examine(characteristic: AnyCharacteristic, measurement: Measurement, rule: DecisionRule) -> Outcome:
    """The verdict on one characteristic with its reason and the consequence that the sheet names.

    Raises ExaminationRefused or MetrologyError: readings missing, absurd or contradictory; a finding that the
    sheet does not list; magnification outside what the sheet asks for.
    """
    match characteristic, measurement:
        case SizeCharacteristic(), SizeMeasurement():
            return _size(characteristic, measurement, rule)
        case PinCharacteristic(), PinMeasurement():
            return _pins(characteristic, measurement)
        case OvalityCharacteristic(), OvalityMeasurement():
            return _ovality(characteristic, measurement, rule)
        case VisualCharacteristic(), VisualMeasurement():
            return _visual(characteristic, measurement)
        case YesNoCharacteristic(), YesNoMeasurement():
            return _yes_no(characteristic, measurement)
        case _:
            raise ExaminationRefused(
                "wrong-measurement", f"{characteristic.title} is recorded in another way: see the limit sheet."
            )


def _size(item: SizeCharacteristic, measured: SizeMeasurement, rule: DecisionRule) -> Outcome:
    if len(measured.readings) < item.readings:
        raise ExaminationRefused("readings-missing", f"The sheet asks for {item.readings} readings.", "readings")
    for reading in measured.readings:
        check_magnitude(reading, _SMALLEST, _LARGEST[item.unit], "readings", item.unit)
    lower, upper = item.limits.bounds
    use = measured.instrument
    judged = [rule.judge(x, lower, upper, use.expanded_uncertainty, use.k) for x in measured.readings]
    worst = max(judged, key=lambda one: (_severity(one), one.excess))
    # As read, idle zeros and all: 10.000 mm says more of the instrument than 10 mm.
    value = ", ".join(f"{reading:f}" for reading in measured.readings)
    return Outcome(
        verdict=_KIND[type(worst)],
        value=f"{value} {item.unit}",
        limit=item.limits.text(item.unit),
        sentence=_size_sentence(worst, item.unit, use.expanded_uncertainty),
        rule=rule.text,
        consequence=_size_consequence(item, judged),
    )


def _size_consequence(item: SizeCharacteristic, judged: list[Verdict]) -> Disposition | None:
    """The consequence once any reading fails; one reading past the rework limit leaves no metal to rework."""
    failed = [one.value for one in judged if not isinstance(one, Conforms)]
    if not failed:
        return None
    if item.consequence is Disposition.REWORK and item.rework_until is not None:
        upper = item.limits.bounds[1]
        upward = upper is not None and item.rework_until >= upper
        if any(value > item.rework_until if upward else value < item.rework_until for value in failed):
            return item.beyond_rework
    return item.consequence


def _severity(judged: Verdict) -> int:
    return [Conforms, NotProven, DoesNotConform].index(type(judged))


def _size_sentence(worst: Verdict, unit: str, uncertainty: Decimal) -> str:
    value, band, u = plain(worst.value), plain(worst.guard_band), plain(uncertainty)
    excess = worst.excess
    match worst:
        case Conforms():
            return f"{value} {unit} is inside the limits by {plain(-excess)} {unit}; the guard band is {band} {unit}."
        case NotProven():
            side = "inside" if excess <= 0 else "outside"
            return (
                f"{value} {unit} is {side} a limit by only {plain(abs(excess))} {unit}; with U = {u} {unit} "
                "neither pass nor fail is proven. Measure with a better instrument or ask for a concession."
            )
        case DoesNotConform():
            return f"{value} {unit} is beyond the limit by {plain(excess)} {unit}."


def _pins(item: PinCharacteristic, measured: PinMeasurement) -> Outcome:
    tried: dict[int, list[PinPass]] = {hole: [] for hole in range(1, item.holes + 1)}
    for one in measured.passes:
        if one.hole not in tried:
            raise ExaminationRefused("hole", f"The nozzle has holes 1 to {item.holes}.", "passes")
        if one.pin not in item.pins:
            raise ExaminationRefused("pin", f"The sheet has no pin of {plain(one.pin)} mm.", "passes")
        tried[one.hole].append(PinPass(one.pin, one.enters))
    for hole, passes in tried.items():
        answered = {one.pin_mm for one in passes}
        missing = [pin for pin in (item.go_pin, item.reject_pin) if pin not in answered]
        if missing:
            pins = " and ".join(f"{plain(pin)} mm" for pin in missing)
            raise ExaminationRefused("pin-not-tried", f"Hole {hole}: the {pins} pin is not answered.", f"hole-{hole}")
        bracket_hole(str(hole), passes)
    rejected = _holes_where(tried, item.reject_pin, enters=True)
    blocked = _holes_where(tried, item.go_pin, enters=False)
    go, reject = plain(item.go_pin), plain(item.reject_pin)
    if rejected:
        sentence = (
            f"The {reject} mm reject pin enters hole {_listed(rejected)}: one hole is enough to reject the nozzle."
        )
        consequence = item.consequence
    elif blocked:
        sentence = f"The {go} mm go pin does not enter hole {_listed(blocked)}: clean it and gauge again."
        consequence = item.undersize_consequence
    else:
        sentence, consequence = f"The {go} mm pin enters every hole, the {reject} mm pin none.", None
    return Outcome(
        verdict=VerdictKind.DOES_NOT_CONFORM if rejected or blocked else VerdictKind.CONFORMS,
        value=_bracket_text(tried),
        limit=f"{go} mm enters, {reject} mm does not, in every one of {item.holes} holes",
        sentence=sentence,
        rule="Go and no-go gauging; the reject pin in any one hole rejects",
        consequence=consequence,
        failed_holes=tuple(sorted({*rejected, *blocked})),
    )


def _holes_where(tried: dict[int, list[PinPass]], pin: Decimal, *, enters: bool) -> list[int]:
    return [hole for hole, passes in tried.items() if any(p.pin_mm == pin and p.enters is enters for p in passes)]


def _listed(holes: list[int]) -> str:
    return ", ".join(str(hole) for hole in holes)


def _bracket_text(tried: dict[int, list[PinPass]]) -> str:
    """Each hole with the largest pin that entered and the smallest that did not, holes alike taken together."""
    groups: dict[str, list[int]] = {}
    for hole, passes in tried.items():
        bracket = bracket_hole(str(hole), passes)
        low = "no pin" if bracket.largest_entering_mm is None else plain(bracket.largest_entering_mm)
        high = "open" if bracket.smallest_refused_mm is None else plain(bracket.smallest_refused_mm)
        groups.setdefault(f"{low} enters, {high} does not" if high != "open" else f"{low} enters", []).append(hole)
    return "; ".join(f"hole {_listed(holes)}: {text}" for text, holes in groups.items())


def _ovality(item: OvalityCharacteristic, measured: OvalityMeasurement, rule: DecisionRule) -> Outcome:
    if len(measured.diameters) != item.sections:
        raise ExaminationRefused(
            "sections-missing", f"Measure every {item.section_name}: {item.sections} in all.", "diameters"
        )
    judged: list[tuple[int, Verdict]] = []
    uncertainty = uncertainty_of_difference(measured.instrument.expanded_uncertainty)
    uncertainty = uncertainty.quantize(Decimal("0.00001"))
    for number, diameters in enumerate(measured.diameters, start=1):
        if len(diameters) < item.directions:
            where = f"{item.section_name.capitalize()} {number}"
            sentence = f"{where}: measure in {item.directions} directions."
            raise ExaminationRefused("directions-missing", sentence, f"section-{number}")
        for diameter in diameters:
            check_magnitude(diameter, _SMALLEST, _LARGEST["mm"], f"section-{number}", "mm")
        oval = section_ovality(diameters)
        judged.append((number, rule.judge(oval, None, item.limit, uncertainty, measured.instrument.k)))
    number, worst = max(judged, key=lambda pair: (_severity(pair[1]), pair[1].value))
    failed = tuple(n for n, one in judged if not isinstance(one, Conforms))
    return Outcome(
        verdict=_KIND[type(worst)],
        value=f"largest ovality {plain(worst.value)} mm ({item.section_name} {number})",
        limit=f"at most {plain(item.limit)} mm",
        sentence=f"{item.section_name.capitalize()} {number}: {_size_sentence(worst, 'mm', uncertainty)}",
        rule=rule.text,
        consequence=None if isinstance(worst, Conforms) else item.consequence,
        failed_holes=failed,
        unproven_holes=tuple(n for n, one in judged if isinstance(one, NotProven)),
    )


def section_ovality(diameters: Sequence[Decimal]) -> Decimal:
    """Ovality (mm) of one section from its two-point diameters (mm), taken at equal angles; raises MetrologyError."""
    angle = Decimal(180) / len(diameters)
    return ovality([DiameterReading(angle * turn, d) for turn, d in enumerate(diameters)]).ovality_mm


def _visual(item: VisualCharacteristic, seen: VisualMeasurement) -> Outcome:
    if not seen.findings:
        raise ExaminationRefused("finding-missing", "Choose what you found.", "findings")
    unknown = [key for key in seen.findings if key not in item.by_key]
    if unknown:
        raise ExaminationRefused("finding-unknown", "Choose a finding from the list.", "findings")
    if seen.magnification is not None:
        check_magnitude(seen.magnification, Decimal(1), Decimal(1000), "magnification", "×")
    _check_magnification(item, seen.magnification)
    chosen = [item.by_key[key] for key in seen.findings]
    outcomes = {choice.outcome for choice in chosen}
    if FindingOutcome.ACCEPTABLE in outcomes and len(outcomes) > 1:
        raise ExaminationRefused(
            "findings-contradict", "An acceptable finding and a defect were both chosen: keep the defect.", "findings"
        )
    labels = ", ".join(choice.label for choice in chosen)
    at = f" at {plain(seen.magnification)}×" if seen.magnification is not None else ""
    if FindingOutcome.REJECT in outcomes:
        consequence: Disposition | None = item.consequence
    else:
        consequence = Disposition.REWORK if FindingOutcome.REWORK in outcomes else None
    return Outcome(
        verdict=VerdictKind.CONFORMS if consequence is None else VerdictKind.DOES_NOT_CONFORM,
        value=f"{labels}{at}",
        limit="; ".join(f"{choice.label}: {choice.outcome.value}" for choice in item.findings),
        sentence=f"{labels}{at}: {_visual_reason(item, consequence)}",
        rule="Visual finding by the sheet's list",
        consequence=consequence,
    )


def _visual_reason(item: VisualCharacteristic, consequence: Disposition | None) -> str:
    if consequence is None:
        return "acceptable by the sheet."
    if item.replace_only:
        return "the sheet rejects it, and this surface is never lapped or ground."
    return f"the sheet asks to {consequence.label.lower()}."


def _check_magnification(item: VisualCharacteristic, used: Decimal | None) -> None:
    low, high = item.magnification_min, item.magnification_max
    if low is None and high is None:
        return
    span = f"{plain(low or high or Decimal(0))}×" if low is None or high is None else f"{plain(low)}× to {plain(high)}×"
    if used is None:
        raise ExaminationRefused("magnification-missing", f"Enter the magnification used: {span}.", "magnification")
    if low is not None and used < low:
        raise ExaminationRefused(
            "magnification-low", f"{plain(used)}× is too little to see it: look again at {span}.", "magnification"
        )
    if high is not None and used > high:
        raise ExaminationRefused(
            "magnification-high", f"{plain(used)}× is more than the sheet asks for: judge at {span}.", "magnification"
        )


def _yes_no(item: YesNoCharacteristic, measured: YesNoMeasurement) -> Outcome:
    good = measured.answer is item.required
    answer, wanted = ("yes" if measured.answer else "no"), ("yes" if item.required else "no")
    return Outcome(
        verdict=VerdictKind.CONFORMS if good else VerdictKind.DOES_NOT_CONFORM,
        value=answer,
        limit=wanted,
        sentence=f"{item.question} {answer.capitalize()}" + ("." if good else f"; the sheet requires {wanted}."),
        rule="Required answer",
        consequence=None if good else item.consequence,
    )
