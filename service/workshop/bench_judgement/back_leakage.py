"""Back leakage: the oil from the return in a measured time, as a flow in ml/min against the plan's volume and time."""

from dataclasses import replace
from decimal import Decimal

from service.hydraulics.leak_flow import leak_flow_ml_per_min
from service.metrology.conformity import Conforms, DoesNotConform, NotProven
from service.metrology.kept_budget import UncertaintyBudget
from service.metrology.typed_numbers import plain
from service.metrology.units import check_magnitude
from service.workshop.bench_judgement.outcome import BenchRefused, cannot_tell, passed_or_failed
from service.workshop.conformity_chance import chance_of_conformity
from service.workshop.decision_rule import DecisionRule
from service.workshop.leak_budget import leak_budget
from service.workshop.step_results import BackLeakageResult, StepOutcome
from service.workshop.test_plan import BackLeakageStep
from service.workshop.test_rig import HIGHEST_BAR, LONGEST_S


def judge_back_leakage(
    step: BackLeakageStep, result: BackLeakageResult, rule: DecisionRule, kept: UncertaintyBudget | None
) -> StepOutcome:
    """The flow by the decision rule. Too much oil at less than the plan's pressure fails; anything else there is open.

    Oil leaks past a guide in proportion to the pressure, so over the plan's pressure the share of that pressure has to
    come out alike: a dry guide would pass there, and a sound one leak too much. Raises BenchRefused without a cylinder
    or for an impossible time, MetrologyError for impossible numbers.
    """
    budget = kept or _budget(result)
    low, high = _limits(step)
    flow = leak_flow_ml_per_min(result.volume_ml, result.measured_s)
    share = _at_most(flow, step, result)
    judged, at_plan = (rule.judge(one, low, high, budget.expanded, budget.k) for one in (flow, share))
    too_much = isinstance(judged, DoesNotConform) and flow > high
    value = f"{plain(result.volume_ml)} ml in {result.measured_s} s at {plain(result.pressure_bar)} bar, {_shown(flow)}"
    limit, u = _limit(step), f"U = {budget.u_text}"
    held, wanted = f"{plain(result.pressure_bar)} bar was the mean pressure", f"{plain(step.pressure_bar)} bar"
    if type(judged) is not type(at_plan) or (too_much and share <= high):
        sentence = f"{held}, over the {wanted} of the plan: what leaks there says nothing certain."
        outcome = cannot_tell(value, limit, sentence, f"Measure again at {wanted} or a little over.")
    elif too_much:
        sentence = f"{_shown(flow)} came back, more than {_shown(high)}, with {u}."
        outcome = passed_or_failed(step, False, value, limit, sentence)
    elif result.pressure_bar < step.pressure_bar:
        sentence = f"{held}, but the plan asks for {wanted}: not proven."
        outcome = cannot_tell(value, limit, sentence, f"Measure again at {wanted} or a little over.")
    elif isinstance(judged, NotProven):
        sentence = f"{_shown(flow)} is too near a limit to be proven with {u}."
        how = "Catch the oil for longer, or in a finer cylinder, so that U gets smaller."
        outcome = cannot_tell(value, limit, sentence, how)
    else:
        within = isinstance(judged, Conforms)
        told = "came back, within the limits" if within else "came back, less than the least of the plan"
        outcome = passed_or_failed(step, within, value, limit, f"{_shown(flow)} {told}, with {u}.")
    chance = chance_of_conformity(judged, budget)
    return replace(outcome, rule=rule.text, uncertainty=budget, probability_of_conformity=chance)


def _budget(result: BackLeakageResult) -> UncertaintyBudget:
    if result.cylinder is None:
        raise BenchRefused("no-cylinder", "Name the measuring cylinder that caught the oil.", "cylinder")
    if not 1 <= result.measured_s <= LONGEST_S:
        raise BenchRefused("measured", f"Enter the time measured in seconds, 1 to {LONGEST_S}.", "measured_s")
    check_magnitude(result.volume_ml, Decimal(0), Decimal(5000), "volume_ml", "ml")
    check_magnitude(result.pressure_bar, Decimal(0), HIGHEST_BAR, "pressure_bar", "bar")
    return leak_budget(result.volume_ml, result.measured_s, result.cylinder)


def _at_most(flow: Decimal, step: BackLeakageStep, result: BackLeakageResult) -> Decimal:
    """The flow's share (ml/min) at the plan's pressure where more was held; a gap that pressure widens leaks less."""
    more = result.pressure_bar > step.pressure_bar
    return flow * step.pressure_bar / result.pressure_bar if more else flow


def _limits(step: BackLeakageStep) -> tuple[Decimal | None, Decimal]:
    low = step.volume_min_ml
    least = None if low is None else leak_flow_ml_per_min(low, step.time_s)
    return least, leak_flow_ml_per_min(step.volume_max_ml, step.time_s)


def _limit(step: BackLeakageStep) -> str:
    low, high = _limits(step)
    volume, flow = f"at most {plain(step.volume_max_ml)} ml", f"at most {_shown(high)}"
    if low is not None and step.volume_min_ml is not None:
        volume = f"{plain(step.volume_min_ml)} to {plain(step.volume_max_ml)} ml"
        flow = f"{_number(low)} to {_shown(high)}"
    return f"{volume} in {step.time_s} s at {plain(step.pressure_bar)} bar, {flow}"


def _shown(flow: Decimal) -> str:
    return f"{_number(flow)} ml/min"


def _number(flow: Decimal) -> str:
    return plain(flow.quantize(Decimal("0.01")))
