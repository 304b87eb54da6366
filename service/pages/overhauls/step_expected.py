"""What the plan expects at a bench step, in the unit of the rig's dial with bar beside it; what the timer counts to."""

from dataclasses import dataclass

from service.metrology.typed_numbers import plain
from service.pages.on_dial import least_on_dial, most_on_dial, read_on_dial
from service.pages.overhauls.small_forms import Fact
from service.workshop.shown_pressure import about, at_least, at_most, between, is_bar
from service.workshop.step_results import StepResult, pressures_bar
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


@dataclass(frozen=True)
class TimerShown:
    """A timer: which field it fills, the seconds that the plan asks for, and the key its start is kept by."""

    field: str
    seconds: int
    key: str


def timer_of(step: AnyStep, key: str) -> TimerShown | None:
    """The timer of the steps where time matters, None at the others."""
    match step:
        case FlushStep(flush_s=seconds):
            return TimerShown("flushed_s", seconds, key)
        case SeatTightnessStep(hold_s=seconds) | ExternalTightnessStep(hold_s=seconds):
            return TimerShown("held_s", seconds, key)
        case BackLeakageStep(time_s=seconds):
            return TimerShown("measured_s", seconds, key)
        case _:
            return None


def expected(plan: TestPlan, step: AnyStep, unit: str) -> tuple[Fact, ...]:
    """What the plan asks for at that step, before anything is done; a limit is never looser than the plan's in bar."""
    match step:
        case VentStep():
            return (Fact("Until", "the oil comes without air"),)
        case FlushStep():
            return (Fact("Time", f"at least {step.flush_s} s"), Fact("Until", "the oil comes clean"))
        case StrokesStep():
            return (Fact("Full strokes", f"{step.strokes_min} to {step.strokes_max}"),)
        case SeatTightnessStep():
            return (
                least_on_dial("Pressure to hold", plan.opening_set_bar - step.margin_bar, unit),
                most_on_dial("Below the set opening pressure", step.margin_bar, unit),
                Fact("Time", f"{step.hold_s} s"),
                Fact("Nozzle", "stays dry"),
            )
        case OpeningPressureStep():
            return (
                read_on_dial("Set", plan.opening_set_bar, unit),
                _band(plan, unit),
                Fact("Strokes", f"at least {step.strokes_min}"),
                most_on_dial("Spread, at most", step.spread_max_bar, unit),
            )
        case EmissionStep():
            return (Fact("Sprays", f"each of the {step.holes} holes"),)
        case QuickDropStep():
            return (Fact("On opening", "the gauge drops quickly"),)
        case ExternalTightnessStep():
            return (
                least_on_dial("Pressure to hold", step.pressure_bar, unit),
                Fact("Time", f"{step.hold_s} s"),
                Fact("Return", "blocked"),
            )
        case BackLeakageStep():
            return (
                least_on_dial("Pressure to hold", step.pressure_bar, unit),
                Fact("Time", f"{step.time_s} s"),
                Fact("Oil from the return", _volume(step)),
            )


def limit_on_dial(plan: TestPlan, step: AnyStep, unit: str) -> str:
    """The limits of pressure at that step in the dial's unit, '' where there are none or the dial shows bar."""
    if is_bar(unit):
        return ""
    match step:
        case SeatTightnessStep():
            return at_least(plan.opening_set_bar - step.margin_bar, unit)
        case OpeningPressureStep():
            return f"{_band(plan, unit).value}, spread at most {at_most(step.spread_max_bar, unit)}"
        case ExternalTightnessStep(pressure_bar=pressure) | BackLeakageStep(pressure_bar=pressure):
            return at_least(pressure, unit)
        case _:
            return ""


def recorded_on_dial(result: StepResult, unit: str) -> str:
    """The pressures that were recorded in the dial's unit, '' where there are none or the dial shows bar."""
    pressures = pressures_bar(result)
    return about(*pressures, unit=unit) if pressures and not is_bar(unit) else ""


def _band(plan: TestPlan, unit: str) -> Fact:
    low, high = plan.opening_lower_bar, plan.opening_upper_bar
    return Fact("Band", between(low, high, unit), "" if is_bar(unit) else between(low, high, "bar"))


def _volume(step: BackLeakageStep) -> str:
    most = f"at most {plain(step.volume_max_ml)} ml"
    return most if step.volume_min_ml is None else f"{plain(step.volume_min_ml)} to {plain(step.volume_max_ml)} ml"
