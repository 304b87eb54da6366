"""Steps that hold a pressure: the seat below the opening pressure, the body with the return blocked. In bar and s."""

from decimal import Decimal

from service.metrology.units import check_magnitude
from service.workshop.bench_judgement.outcome import (
    BenchRefused,
    cannot_tell,
    leaked,
    passed_or_failed,
    places_named,
)
from service.workshop.step_results import ExternalTightnessResult, SeatTightnessResult, StepOutcome
from service.workshop.test_plan import ExternalTightnessStep, LeakPlace, SeatTightnessStep, TestPlan
from service.workshop.test_rig import HIGHEST_BAR, LONGEST_S


def judge_seat(plan: TestPlan, step: SeatTightnessStep, result: SeatTightnessResult) -> StepOutcome:
    """A nozzle that stays dry; oil fails it at once, dry too low or too short proves nothing.

    Oil at the set opening pressure or over proves nothing either: a sound valve opens there.
    Raises BenchRefused or MetrologyError for a result that nobody can have seen.
    """
    _check_hold(result.pressure_bar, result.held_s)
    leaking = places_named(step.places, result.leaks)
    if leaking and result.dry is not False:
        raise BenchRefused("leak-place", "A place that leaks is named: then the nozzle was not dry.", "dry")
    wanted = plan.opening_set_bar - step.margin_bar
    limit = f"dry at {wanted} bar for {step.hold_s} s"
    state = {True: "dry", False: "wet", None: "not clear"}[result.dry]
    if leaking:
        state = f"wet {_named(leaking)}"
    value = f"{state} at {result.pressure_bar} bar for {result.held_s} s"
    if result.dry is False and result.pressure_bar >= plan.opening_set_bar:
        sentence = f"At {result.pressure_bar} bar the valve opens by itself, so the oil says nothing of the seat."
        return cannot_tell(value, limit, sentence, _again(wanted, step.hold_s))
    if result.dry is False:
        where = f" {_named(leaking)}" if leaking else ""
        sentence = f"Oil came from the nozzle{where} at {result.pressure_bar} bar; it must stay dry at {wanted} bar."
        return leaked(step, leaking, value, limit, sentence)
    if result.dry is None:
        sentence = "Nobody could tell whether the nozzle stayed dry."
        return cannot_tell(value, limit, sentence, "Wipe the nozzle dry, hold again and lay blotting paper under it.")
    short = _short(result.pressure_bar, result.held_s, wanted, step.hold_s)
    if short:
        return cannot_tell(value, limit, f"{short}: not proven tight.", _again(wanted, step.hold_s))
    sentence = f"The seat stayed dry {step.margin_bar} bar below the set opening pressure."
    return passed_or_failed(step, True, value, limit, sentence)


def judge_external(step: ExternalTightnessStep, result: ExternalTightnessResult) -> StepOutcome:
    """A body that holds with the return blocked; a leak whose place is known fails it whatever else is unclear.

    Raises BenchRefused or MetrologyError for a result that nobody can have seen.
    """
    _check_hold(result.pressure_bar, result.held_s)
    leaking = places_named(step.places, result.leaks)
    limit = f"tight at {step.pressure_bar} bar for {step.hold_s} s, return blocked"
    state = f"leak {_named(leaking)}" if leaking else "not clear" if result.unclear else "tight"
    value = f"{state} at {result.pressure_bar} bar for {result.held_s} s"
    if leaking:
        sentence = " ".join(f"Leak {place.label}: {place.points_to}." for place in leaking)
        return leaked(step, leaking, value, limit, sentence)
    if result.unclear:
        sentence = "Nobody could tell whether, or from where, oil came."
        return cannot_tell(value, limit, sentence, "Wipe the body dry all round, dust it with chalk and hold again.")
    short = _short(result.pressure_bar, result.held_s, step.pressure_bar, step.hold_s)
    if short:
        return cannot_tell(value, limit, f"{short}: not proven tight.", _again(step.pressure_bar, step.hold_s))
    return passed_or_failed(step, True, value, limit, "The body holds the pressure with the return blocked.")


def _short(pressure: Decimal, held_s: int, wanted: Decimal, wanted_s: int) -> str:
    """What was not reached, '' where both were."""
    if pressure < wanted:
        return f"Held at {pressure} bar, but the plan asks for {wanted} bar"
    return f"Held for {held_s} s, but the plan asks for {wanted_s} s" if held_s < wanted_s else ""


def _again(wanted: Decimal, wanted_s: int) -> str:
    return f"Hold again, at {wanted} bar or a little over, for {wanted_s} s."


def _named(places: tuple[LeakPlace, ...]) -> str:
    return ", ".join(place.label for place in places)


def _check_hold(pressure: Decimal, held_s: int) -> None:
    if not 0 <= held_s <= LONGEST_S:
        raise BenchRefused("held", f"Enter the time held in seconds, 0 to {LONGEST_S}.", "held_s")
    check_magnitude(pressure, Decimal(0), HIGHEST_BAR, "pressure_bar", "bar")
