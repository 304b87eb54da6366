"""What one step on the rig recorded, as a client sends it. A null says that nobody can tell."""

from typing import Annotated, Literal

from pydantic import Field

from service.api.bodies import Body, Count, Name, Number, Yes, quantity
from service.workshop import step_results
from service.workshop.shown_pressure import typed_pressure_bar
from service.workshop.step_results import StepResult

YesOrUnclear = Annotated[Yes | None, Field(description="true, false, or null where nobody can tell.")]


class VentBody(Body):
    """Whether oil came without air."""

    kind: Literal["vent"]
    air_free: YesOrUnclear

    def result(self) -> StepResult:
        """For the rules."""
        return step_results.VentResult(air_free=self.air_free)


class FlushBody(Body):
    """How long the injector was flushed, and whether the oil came clean."""

    kind: Literal["flush"]
    flushed_s: Count
    clean: YesOrUnclear

    def result(self) -> StepResult:
        """For the rules."""
        return step_results.FlushResult(flushed_s=self.flushed_s, clean=self.clean)


class StrokesBody(Body):
    """How many full strokes were made."""

    kind: Literal["strokes"]
    strokes: Count

    def result(self) -> StepResult:
        """For the rules."""
        return step_results.StrokesResult(strokes=self.strokes)


class SeatTightnessBody(Body):
    """Pressure held, for how long, whether the nozzle stayed dry, and at which places of the sheet it did not."""

    kind: Literal["seat-tightness"]
    pressure_bar: Number
    held_s: Count
    dry: YesOrUnclear
    leaks: Annotated[tuple[Name, ...], Field(max_length=50)] = ()

    def result(self) -> StepResult:
        """For the rules."""
        pressure = typed_pressure_bar(self.pressure_bar, "bar", "pressure_bar")
        return step_results.SeatTightnessResult(
            pressure_bar=pressure, held_s=self.held_s, dry=self.dry, leaks=self.leaks
        )


class OpeningPressureBody(Body):
    """Opening pressure of each stroke."""

    kind: Literal["opening-pressure"]
    strokes_bar: Annotated[list[Number], Field(max_length=100)]

    def result(self) -> StepResult:
        """For the rules."""
        strokes = tuple(typed_pressure_bar(typed, "bar", "strokes_bar") for typed in self.strokes_bar)
        return step_results.OpeningPressureResult(strokes_bar=strokes)


class EmissionBody(Body):
    """Holes that sprayed, numbered from 1, and those of which nobody can tell."""

    kind: Literal["emission"]
    spraying: Annotated[list[Count], Field(max_length=100)]
    unclear: Annotated[tuple[Count, ...], Field(max_length=100)] = ()

    def result(self) -> StepResult:
        """For the rules."""
        spraying, unclear = sorted(set(self.spraying)), sorted(set(self.unclear))
        return step_results.EmissionResult(spraying=tuple(spraying), unclear=tuple(unclear))


class QuickDropBody(Body):
    """Whether the quick drop on opening showed."""

    kind: Literal["quick-drop"]
    seen: YesOrUnclear

    def result(self) -> StepResult:
        """For the rules."""
        return step_results.QuickDropResult(seen=self.seen)


class ExternalTightnessBody(Body):
    """Pressure held with the return blocked, for how long, and the places that leaked.

    `unclear` where oil may have shown, and nobody can tell whether or from where.
    """

    kind: Literal["external-tightness"]
    pressure_bar: Number
    held_s: Count
    leaks: Annotated[list[Name], Field(max_length=50)]
    unclear: Yes = False

    def result(self) -> StepResult:
        """For the rules."""
        pressure = typed_pressure_bar(self.pressure_bar, "bar", "pressure_bar")
        return step_results.ExternalTightnessResult(
            pressure_bar=pressure, held_s=self.held_s, leaks=tuple(self.leaks), unclear=self.unclear
        )


class BackLeakageBody(Body):
    """Oil from the return in a measured time, at the mean pressure held, caught in the measuring cylinder named."""

    kind: Literal["back-leakage"]
    pressure_bar: Number
    measured_s: Count
    volume_ml: Number
    cylinder: Name

    def result(self) -> StepResult:
        """For the rules."""
        return step_results.BackLeakageResult(
            pressure_bar=typed_pressure_bar(self.pressure_bar, "bar", "pressure_bar"),
            measured_s=self.measured_s,
            volume_ml=quantity(self.volume_ml, None, "ml", "volume_ml"),
        )


AnyStepBody = Annotated[
    VentBody
    | FlushBody
    | StrokesBody
    | SeatTightnessBody
    | OpeningPressureBody
    | EmissionBody
    | QuickDropBody
    | ExternalTightnessBody
    | BackLeakageBody,
    Field(discriminator="kind"),
]
