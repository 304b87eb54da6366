"""The spray holes of the emission step on the nozzle drawing, and the form's question of each."""

from dataclasses import dataclass
from math import cos, pi, sin

from service.workshop.entries import BenchStepRecorded
from service.workshop.step_results import EmissionResult
from service.workshop.test_plan import AnyStep, EmissionStep


@dataclass(frozen=True)
class HolePlace:
    """One spray hole of the drawing."""

    number: int
    x: int
    y: int
    state: str
    label: str


def holes_of(step: AnyStep, done: BenchStepRecorded | None) -> tuple[HolePlace, ...]:
    """The holes on their pitch circle, number 1 at the top, clockwise as seen from the tip."""
    if not isinstance(step, EmissionStep):
        return ()
    result = done.result if done and isinstance(done.result, EmissionResult) else None
    places = []
    for number in range(1, step.holes + 1):
        angle = 2 * pi * (number - 1) / step.holes
        state, words = _state(number, result)
        x, y = round(160 + 108 * sin(angle)), round(160 - 108 * cos(angle))
        places.append(HolePlace(number, x, y, state, f"Hole {number} {words}"))
    return tuple(places)


def _state(number: int, result: EmissionResult | None) -> tuple[str, str]:
    if result is None:
        return "not-measured", "not looked at yet"
    if number in result.unclear:
        return "not-proven", "cannot be told"
    return ("conforms", "sprays") if number in result.spraying else ("does-not-conform", "does not spray")
