"""How each bench step is judged against the test plan. Pressures in bar, times in seconds."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from typing import Any

from service.hydraulics.opening import against_limits, opening_pressure
from service.metrology.conformity import Conforms, DoesNotConform, NotProven
from service.metrology.errors import DomainError
from service.metrology.kept_budget import UncertaintyBudget
from service.metrology.typed_numbers import plain
from service.metrology.units import check_magnitude
from service.workshop.conformity_chance import chance_of_conformity
from service.workshop.decision_rule import DecisionRule
from service.workshop.measurements import InstrumentUse
from service.workshop.reading_budget import pressure_budget
from service.workshop.step_results import (
    EmissionResult,
    ExternalTightnessResult,
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
    EmissionStep,
    ExternalTightnessStep,
    OpeningPressureStep,
    QuickDropStep,
    SeatTightnessStep,
    StrokesStep,
    TestPlan,
    VentStep,
)


class BenchRefused(DomainError):
    """A bench result that cannot be recorded as it stands."""


def judge_step(
    plan: TestPlan,
    step: AnyStep,
    result: StepResult,
    gauge: InstrumentUse,
    rule: DecisionRule,
    kept: UncertaintyBudget | None = None,
) -> StepOutcome:
    """Pass or fail with its reason. `kept` is the uncertainty of a step that was judged before, to judge it with again.

    Raises BenchRefused: the result is not of the step's kind, a count or time is impossible.
    """
    result_type, judgement = _JUDGEMENTS[type(step)]
    if not isinstance(result, result_type):
        raise BenchRefused("wrong-result", f"{step.title} asks for another kind of result.", "step")
    return judgement(plan, step, result, gauge, rule, kept)


def _outcome(
    step: AnyStep,
    passed: bool,
    value: str,
    limit: str,
    sentence: str,
    rule: str = "",
    uncertainty: UncertaintyBudget | None = None,
) -> StepOutcome:
    return StepOutcome(
        passed=passed,
        value=value,
        limit=limit,
        sentence=sentence,
        next_action="" if passed else step.on_fail,
        rule=rule,
        uncertainty=uncertainty,
    )


def _vent(plan: TestPlan, step: VentStep, result: VentResult, *_: Any) -> StepOutcome:
    sentence = "The oil comes without air." if result.air_free else "Air still comes with the oil: vent again."
    return _outcome(step, result.air_free, "free of air" if result.air_free else "air", "free of air", sentence)


def _strokes(plan: TestPlan, step: StrokesStep, result: StrokesResult, *_: Any) -> StepOutcome:
    if result.strokes < 0 or result.strokes > 100:
        raise BenchRefused("strokes", "Enter how many full strokes you made, 0 to 100.", "strokes")
    passed = step.strokes_min <= result.strokes <= step.strokes_max
    limit = f"{step.strokes_min} to {step.strokes_max} strokes"
    sentence = "Dirt blown out." if passed else f"{result.strokes} strokes were made; the plan asks for {limit}."
    return _outcome(step, passed, f"{result.strokes} strokes", limit, sentence)


def _seat(plan: TestPlan, step: SeatTightnessStep, result: SeatTightnessResult, *_: Any) -> StepOutcome:
    _check_hold(result.held_s)
    check_magnitude(result.pressure_bar, Decimal(0), Decimal(3000), "pressure_bar", "bar")
    wanted = plan.opening_set_bar - step.margin_bar
    reached, long_enough = result.pressure_bar >= wanted, result.held_s >= step.hold_s
    limit = f"dry at {wanted} bar for {step.hold_s} s"
    value = f"{'dry' if result.dry else 'wet'} at {result.pressure_bar} bar for {result.held_s} s"
    if not result.dry:
        sentence = f"Oil came from the nozzle at {result.pressure_bar} bar; it must stay dry at {wanted} bar."
    elif not reached:
        sentence = f"Held at {result.pressure_bar} bar, but the plan asks for {wanted} bar: not proven tight."
    elif not long_enough:
        sentence = f"Held for {result.held_s} s, but the plan asks for {step.hold_s} s: not proven tight."
    else:
        sentence = f"The seat stayed dry {step.margin_bar} bar below the set opening pressure."
    return _outcome(step, result.dry and reached and long_enough, value, limit, sentence)


def _opening(
    plan: TestPlan,
    step: OpeningPressureStep,
    result: OpeningPressureResult,
    gauge: InstrumentUse,
    rule: DecisionRule,
    kept: UncertaintyBudget | None,
) -> StepOutcome:
    strokes = opening_pressure(result.strokes_bar, step.strokes_min)
    for pressure in result.strokes_bar:
        check_magnitude(pressure, Decimal(1), Decimal(3000), "strokes_bar", "bar")
    low, high = plan.opening_lower_bar, plan.opening_upper_bar
    budget = kept or pressure_budget(result.strokes_bar, gauge)
    mean = rule.judge(strokes.mean_bar, low, high, budget.expanded, budget.k)
    each = against_limits(strokes, low, high, step.spread_max_bar)
    band, spread = f"{plain(low)} to {plain(high)} bar", plain(strokes.spread_bar)
    most = plain(step.spread_max_bar)
    shown, u = plain(strokes.mean_bar.quantize(Decimal("0.1"))), f"U = {budget.u_text}"
    # What failed for certain is told before what more strokes could still prove.
    if isinstance(mean, DoesNotConform):
        sentence = f"The mean opening pressure {shown} bar is outside {band}, with {u}."
    elif each.too_low or each.too_high:
        span = f"{plain(strokes.lowest_bar)} to {plain(strokes.highest_bar)} bar"
        sentence = f"A single stroke opened outside {band}: {span}."
    elif each.too_scattered:
        sentence = f"The strokes spread over {spread} bar, more than {most} bar."
    elif isinstance(mean, NotProven):
        near = f"The mean {shown} bar is too near a limit of {band} to be proven with {u}"
        sentence = f"{near}: more strokes or steadier ones make U smaller."
    else:
        sentence = f"The mean opening pressure {shown} bar is inside {band} and steady, with {u}."
    outcome = _outcome(
        step,
        isinstance(mean, Conforms) and each.within,
        f"mean {shown} bar, spread {spread} bar, {len(result.strokes_bar)} strokes",
        f"mean and each stroke {band}, spread at most {most} bar",
        sentence,
        rule.text,
        budget,
    )
    return replace(outcome, probability_of_conformity=chance_of_conformity(mean, budget))


def _emission(plan: TestPlan, step: EmissionStep, result: EmissionResult, *_: Any) -> StepOutcome:
    wanted = set(range(1, step.holes + 1))
    if set(result.spraying) - wanted:
        raise BenchRefused("hole", f"The nozzle has holes 1 to {step.holes}.", "spraying")
    silent = sorted(wanted - set(result.spraying))
    listed = ", ".join(str(hole) for hole in silent)
    sentence = f"No spray from hole {listed}." if silent else "Every hole sprays."
    value = f"{step.holes - len(silent)} of {step.holes} holes spray"
    return _outcome(step, not silent, value, f"all {step.holes} holes spray", sentence)


def _quick_drop(plan: TestPlan, step: QuickDropStep, result: QuickDropResult, *_: Any) -> StepOutcome:
    sentence = (
        "The quick drop shows on opening."
        if result.seen
        else "No quick drop on opening: the slide sticks or a hole is blocked."
    )
    return _outcome(step, result.seen, "seen" if result.seen else "not seen", "seen", sentence)


def _external(plan: TestPlan, step: ExternalTightnessStep, result: ExternalTightnessResult, *_: Any) -> StepOutcome:
    _check_hold(result.held_s)
    check_magnitude(result.pressure_bar, Decimal(0), Decimal(3000), "pressure_bar", "bar")
    places = {place.key: place for place in step.places}
    unknown = set(result.leaks) - places.keys()
    if unknown:
        raise BenchRefused("leak-place", "Choose the place of the leak from the list.", "leaks")
    reached, long_enough = result.pressure_bar >= step.pressure_bar, result.held_s >= step.hold_s
    limit = f"tight at {step.pressure_bar} bar for {step.hold_s} s, return blocked"
    leaking = [places[key] for key in result.leaks]
    state = "leak " + ", ".join(place.label for place in leaking) if leaking else "tight"
    value = f"{state} at {result.pressure_bar} bar for {result.held_s} s"
    if leaking:
        sentence = " ".join(f"Leak {place.label}: {place.points_to}." for place in leaking)
    elif not reached or not long_enough:
        sentence = f"Held {result.pressure_bar} bar for {result.held_s} s; the plan asks for {limit}."
    else:
        sentence = "The body holds the pressure with the return blocked."
    return _outcome(step, not leaking and reached and long_enough, value, limit, sentence)


def _check_hold(held_s: int) -> None:
    if held_s < 0 or held_s > 3600:
        raise BenchRefused("held", "Enter the time held in seconds, 0 to 3600.", "held_s")


_JUDGEMENTS: dict[type, tuple[type, Callable[..., StepOutcome]]] = {
    VentStep: (VentResult, _vent),
    StrokesStep: (StrokesResult, _strokes),
    SeatTightnessStep: (SeatTightnessResult, _seat),
    OpeningPressureStep: (OpeningPressureResult, _opening),
    EmissionStep: (EmissionResult, _emission),
    QuickDropStep: (QuickDropResult, _quick_drop),
    ExternalTightnessStep: (ExternalTightnessResult, _external),
}
