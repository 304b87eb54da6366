"""Whether a step of the test plan asks for something that can be done and judged on the rig."""

from collections.abc import Iterator

from service.workshop.test_plan import (
    AnyStep,
    BackLeakageStep,
    ExternalTightnessStep,
    FlushStep,
    LeakPlace,
    OpeningPressureStep,
    SeatTightnessStep,
    TestPlan,
)
from service.workshop.test_rig import HIGHEST_BAR, LONGEST_S


def step_faults(plan: TestPlan, step: AnyStep) -> Iterator[str]:
    """What is wrong with one step, in words: pressures in bar, times in s, volumes in ml."""
    match step:
        case OpeningPressureStep() if step.strokes_min < 3:
            yield "The opening pressure is read over at least three strokes."
        case SeatTightnessStep():
            if not 0 < step.margin_bar < plan.opening_set_bar:
                yield "The margin lies between 0 and the set opening pressure."
            yield from _time(step.hold_s)
            yield from _places(step.places)
        case ExternalTightnessStep():
            if not 0 < step.pressure_bar <= HIGHEST_BAR:
                yield f"The pressure lies above 0 and up to {HIGHEST_BAR} bar."
            yield from _time(step.hold_s)
            yield from _places(step.places)
        case FlushStep():
            yield from _time(step.flush_s)
        case BackLeakageStep():
            yield from _leakage(plan, step)
        case _:
            pass


def _leakage(plan: TestPlan, step: BackLeakageStep) -> Iterator[str]:
    yield from _time(step.time_s)
    if not 0 < step.pressure_bar < plan.opening_set_bar:
        yield "Back leakage is caught while the valve is shut: between 0 and the set opening pressure."
    if step.volume_max_ml <= 0:
        yield "The largest volume lies above 0 ml."
    if step.volume_min_ml is not None and not 0 < step.volume_min_ml < step.volume_max_ml:
        yield "The least volume lies above 0 ml and below the largest one."


def _time(seconds: int) -> Iterator[str]:
    if not 1 <= seconds <= LONGEST_S:
        yield f"The time lies between 1 and {LONGEST_S} s."


def _places(places: tuple[LeakPlace, ...]) -> Iterator[str]:
    if len({place.key for place in places}) < len(places):
        yield "Each place of a leak needs a key of its own."
    if any(not place.points_to.strip() for place in places):
        yield "Each place of a leak says what it points to."
