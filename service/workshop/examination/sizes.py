"""One or more readings of a size (or a stiffness, or a force) against its limits."""


from service.metrology.conformity import Conforms, Verdict
from service.metrology.units import check_magnitude
from service.workshop.decision_rule import DecisionRule
from service.workshop.examination.refusal import ExaminationRefused
from service.workshop.examination.verdicts import LARGEST, SMALLEST, kind_of, severity, size_sentence
from service.workshop.limit_sheet import SizeCharacteristic
from service.workshop.measurements import Outcome, SizeMeasurement
from service.workshop.vocabulary import Disposition


def judge_size(item: SizeCharacteristic, measured: SizeMeasurement, rule: DecisionRule) -> Outcome:
    """Every reading is judged, the worst one decides; raises as `examine` does."""
    if len(measured.readings) < item.readings:
        raise ExaminationRefused("readings-missing", f"The sheet asks for {item.readings} readings.", "readings")
    for reading in measured.readings:
        check_magnitude(reading, SMALLEST, LARGEST[item.unit], "readings", item.unit)
    lower, upper = item.limits.bounds
    use = measured.instrument
    judged = [rule.judge(x, lower, upper, use.expanded_uncertainty, use.k) for x in measured.readings]
    worst = max(judged, key=lambda one: (severity(one), one.excess))
    # As read, idle zeros and all: 10.000 mm says more of the instrument than 10 mm.
    value = ", ".join(f"{reading:f}" for reading in measured.readings)
    return Outcome(
        verdict=kind_of(worst),
        value=f"{value} {item.unit}",
        limit=item.limits.text(item.unit),
        sentence=size_sentence(worst, item.unit, use.expanded_uncertainty),
        rule=rule.text,
        consequence=_size_consequence(item, judged),
    )


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
