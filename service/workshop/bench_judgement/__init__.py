"""How each bench step is judged against the test plan. Pressures in bar, times in seconds, volumes in ml."""

from service.metrology.kept_budget import UncertaintyBudget
from service.workshop.bench_judgement.back_leakage import judge_back_leakage
from service.workshop.bench_judgement.holds import judge_external, judge_seat
from service.workshop.bench_judgement.opening import judge_opening
from service.workshop.bench_judgement.outcome import BenchRefused
from service.workshop.bench_judgement.seen import (
    judge_emission,
    judge_flush,
    judge_quick_drop,
    judge_strokes,
    judge_vent,
)
from service.workshop.decision_rule import DecisionRule
from service.workshop.measurements import InstrumentUse
from service.workshop.step_results import (
    BackLeakageResult,
    EmissionResult,
    ExternalTightnessResult,
    FlushResult,
    OpeningPressureResult,
    QuickDropResult,
    SeatTightnessResult,
    StepOutcome,
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

__all__ = ["judge_step"]


def judge_step(
    plan: TestPlan,
    step: AnyStep,
    result: StepResult,
    gauge: InstrumentUse,
    rule: DecisionRule,
    kept: UncertaintyBudget | None = None,
) -> StepOutcome:
    """Pass, fail or cannot tell with its reason. `kept` is the uncertainty of a step that was judged before.

    Raises BenchRefused: the result is not of the step's kind, a count or time is impossible.
    """
    match step, result:
        case VentStep(), VentResult():
            return judge_vent(step, result)
        case FlushStep(), FlushResult():
            return judge_flush(step, result)
        case StrokesStep(), StrokesResult():
            return judge_strokes(step, result)
        case SeatTightnessStep(), SeatTightnessResult():
            return judge_seat(plan, step, result)
        case OpeningPressureStep(), OpeningPressureResult():
            return judge_opening(plan, step, result, gauge, rule, kept)
        case EmissionStep(), EmissionResult():
            return judge_emission(step, result)
        case QuickDropStep(), QuickDropResult():
            return judge_quick_drop(step, result)
        case ExternalTightnessStep(), ExternalTightnessResult():
            return judge_external(step, result)
        case BackLeakageStep(), BackLeakageResult():
            return judge_back_leakage(step, result, rule, kept)
        case _:
            raise BenchRefused("wrong-result", f"{step.title} asks for another kind of result.", "step")
