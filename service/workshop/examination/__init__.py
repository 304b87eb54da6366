"""How one characteristic is judged: the limit sheet's demand against what was measured or seen."""

from service.metrology.kept_budget import UncertaintyBudget
from service.workshop.decision_rule import DecisionRule
from service.workshop.examination.refusal import ExaminationRefused
from service.workshop.examination.roundness import judge_roundness
from service.workshop.examination.sections import judge_ovality, section_ovality
from service.workshop.examination.sizes import judge_size
from service.workshop.examination.spray_holes import judge_pins
from service.workshop.examination.visual import judge_answer, judge_findings
from service.workshop.limit_sheet import (
    AnyCharacteristic,
    OvalityCharacteristic,
    PinCharacteristic,
    RoundnessCharacteristic,
    SizeCharacteristic,
    VisualCharacteristic,
    YesNoCharacteristic,
)
from service.workshop.measurements import (
    Measurement,
    Outcome,
    OvalityMeasurement,
    PinMeasurement,
    RoundnessMeasurement,
    SizeMeasurement,
    VisualMeasurement,
    YesNoMeasurement,
)

__all__ = ["ExaminationRefused", "examine", "section_ovality"]


def examine(
    characteristic: AnyCharacteristic,
    measurement: Measurement,
    rule: DecisionRule,
    kept: UncertaintyBudget | None = None,
) -> Outcome:
    """The verdict on one characteristic with its reason and the consequence that the sheet names.

    `kept` is the uncertainty of a measurement that was judged before: it is judged with that again (`judged_with`).
    Raises ExaminationRefused or MetrologyError: readings missing, absurd or contradictory; a finding that the
    sheet does not list; magnification outside what the sheet asks for.
    """
    match characteristic, measurement:
        case SizeCharacteristic(), SizeMeasurement():
            return judge_size(characteristic, measurement, rule, kept)
        case PinCharacteristic(), PinMeasurement():
            return judge_pins(characteristic, measurement)
        case OvalityCharacteristic(), OvalityMeasurement():
            return judge_ovality(characteristic, measurement, rule, kept)
        case RoundnessCharacteristic(), RoundnessMeasurement():
            return judge_roundness(characteristic, measurement, rule, kept)
        case VisualCharacteristic(), VisualMeasurement():
            return judge_findings(characteristic, measurement)
        case YesNoCharacteristic(), YesNoMeasurement():
            return judge_answer(characteristic, measurement)
        case _:
            raise ExaminationRefused(
                "wrong-measurement", f"{characteristic.title} is recorded in another way: see the limit sheet."
            )
