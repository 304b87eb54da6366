"""The opening pressure: the mean of several strokes by the decision rule, each stroke in its band. Bar."""

from dataclasses import replace
from decimal import Decimal

from service.hydraulics.opening import against_limits, opening_pressure
from service.metrology.conformity import DoesNotConform, NotProven
from service.metrology.kept_budget import UncertaintyBudget
from service.metrology.typed_numbers import plain
from service.metrology.units import check_magnitude
from service.workshop.bench_judgement.outcome import cannot_tell, passed_or_failed
from service.workshop.conformity_chance import chance_of_conformity
from service.workshop.decision_rule import DecisionRule
from service.workshop.measurements import InstrumentUse
from service.workshop.reading_budget import pressure_budget
from service.workshop.step_results import OpeningPressureResult, StepOutcome
from service.workshop.test_plan import OpeningPressureStep, TestPlan
from service.workshop.test_rig import HIGHEST_BAR


def judge_opening(
    plan: TestPlan,
    step: OpeningPressureStep,
    result: OpeningPressureResult,
    gauge: InstrumentUse,
    rule: DecisionRule,
    kept: UncertaintyBudget | None,
) -> StepOutcome:
    """What failed for certain is told before what more strokes could still prove.

    Raises HydraulicsError or MetrologyError for too few strokes or a pressure that no rig shows.
    """
    strokes = opening_pressure(result.strokes_bar, step.strokes_min)
    for pressure in result.strokes_bar:
        check_magnitude(pressure, Decimal(1), HIGHEST_BAR, "strokes_bar", "bar")
    low, high, most = plan.opening_lower_bar, plan.opening_upper_bar, plain(step.spread_max_bar)
    budget = kept or pressure_budget(result.strokes_bar, gauge)
    mean = rule.judge(strokes.mean_bar, low, high, budget.expanded, budget.k)
    each = against_limits(strokes, low, high, step.spread_max_bar)
    band, spread = f"{plain(low)} to {plain(high)} bar", plain(strokes.spread_bar)
    shown, u = plain(strokes.mean_bar.quantize(Decimal("0.1"))), f"U = {budget.u_text}"
    value = f"mean {shown} bar, spread {spread} bar, {len(result.strokes_bar)} strokes"
    limit = f"mean and each stroke {band}, spread at most {most} bar"
    if isinstance(mean, DoesNotConform):
        sentence = f"The mean opening pressure {shown} bar is outside {band}, with {u}."
        outcome = passed_or_failed(step, False, value, limit, sentence)
    elif each.too_low or each.too_high:
        span = f"{plain(strokes.lowest_bar)} to {plain(strokes.highest_bar)} bar"
        outcome = passed_or_failed(step, False, value, limit, f"A single stroke opened outside {band}: {span}.")
    elif each.too_scattered:
        sentence = f"The strokes spread over {spread} bar, more than {most} bar."
        outcome = passed_or_failed(step, False, value, limit, sentence)
    elif isinstance(mean, NotProven):
        sentence = f"The mean {shown} bar is too near a limit of {band} to be proven with {u}."
        how = "Make more strokes, or steadier ones, so that U gets smaller; else set the pressure farther inside."
        outcome = cannot_tell(value, limit, sentence, how)
    else:
        sentence = f"The mean opening pressure {shown} bar is inside {band} and steady, with {u}."
        outcome = passed_or_failed(step, True, value, limit, sentence)
    chance = chance_of_conformity(mean, budget)
    return replace(outcome, rule=rule.text, uncertainty=budget, probability_of_conformity=chance)
