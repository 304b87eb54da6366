"""One or more readings of a size (or a stiffness, or a force) against its limits."""

from decimal import Decimal

from service.metrology.conformity import Conforms, Verdict
from service.metrology.kept_budget import UncertaintyBudget
from service.metrology.typed_numbers import plain
from service.metrology.units import check_magnitude
from service.workshop.conformity_chance import chance_of_conformity
from service.workshop.decision_rule import DecisionRule
from service.workshop.examination.refusal import ExaminationRefused
from service.workshop.examination.verdicts import LARGEST, SMALLEST, kind_of, severity, size_sentence
from service.workshop.limit_sheet import SizeCharacteristic
from service.workshop.measurements import Outcome, SizeMeasurement
from service.workshop.reading_budget import size_budget
from service.workshop.vocabulary import Disposition

COLDEST_C, WARMEST_C = Decimal(-10), Decimal(50)
"""Nobody measures an injector in more cold or heat."""


def judge_size(
    item: SizeCharacteristic, measured: SizeMeasurement, rule: DecisionRule, kept: UncertaintyBudget | None = None
) -> Outcome:
    """Every reading is judged and the worst one decides; of repeats of one place their mean is judged.

    `kept` is the budget of a measurement that was judged before, else it is worked out. Raises as `examine` does.
    """
    if len(measured.readings) < item.readings:
        raise ExaminationRefused("readings-missing", f"The sheet asks for {item.readings} readings.", "readings")
    for reading in measured.readings:
        check_magnitude(reading, SMALLEST, LARGEST[item.unit], "readings", item.unit)
    if measured.temperature is not None:
        check_magnitude(measured.temperature.celsius, COLDEST_C, WARMEST_C, "bench_temperature", "°C")
    budget = kept or size_budget(item, measured)
    lower, upper = item.limits.bounds
    values = (mean_reading(measured.readings),) if item.repeats else measured.readings
    judged = [rule.judge(value, lower, upper, budget.expanded, budget.k) for value in values]
    worst = max(judged, key=lambda one: (severity(one), one.excess))
    return Outcome(
        verdict=kind_of(worst),
        value=_value_text(item, measured.readings),
        limit=item.limits.text(item.unit),
        sentence=size_sentence(worst, item.unit, budget.expanded),
        rule=rule.text,
        consequence=_size_consequence(item, judged),
        uncertainty=budget,
        probability_of_conformity=chance_of_conformity(worst, budget),
    )


def mean_reading(readings: tuple[Decimal, ...]) -> Decimal:
    """To two digits more than the readings show, so that what is printed is what is judged."""
    finest = min(int(reading.as_tuple().exponent) for reading in readings)
    return (sum(readings, Decimal(0)) / len(readings)).quantize(Decimal(1).scaleb(finest - 2))


def _value_text(item: SizeCharacteristic, readings: tuple[Decimal, ...]) -> str:
    # As read, idle zeros and all: 10.000 mm says more of the instrument than 10 mm.
    listed = ", ".join(f"{reading:f}" for reading in readings)
    if item.repeats and len(readings) > 1:
        return f"mean {plain(mean_reading(readings))} {item.unit} of {listed}"
    return f"{listed} {item.unit}"


def _size_consequence(item: SizeCharacteristic, judged: list[Verdict]) -> Disposition | None:
    """The consequence once any reading fails; one reading past the rework limit leaves no metal to rework."""
    failed = [one.value for one in judged if not isinstance(one, Conforms)]
    if not failed:
        return None
    if item.consequence is Disposition.REWORK and item.rework_until is not None:
        lower, upper = item.limits.bounds
        upward = upper is not None and (lower is None or item.rework_until >= upper)
        if any(value > item.rework_until if upward else value < item.rework_until for value in failed):
            return item.beyond_rework
    return item.consequence
