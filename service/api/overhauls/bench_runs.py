"""Runs on the test rig and their steps."""

from typing import Annotated, Literal

from fastapi import APIRouter
from pydantic import Field

from service.actions.bench_testing import record_bench_step, start_bench_run
from service.actions.shop import Actor, Shop
from service.api.bodies import Body, Count, FormBody, IdInPath, InPath, Name, Number, Yes, quantity
from service.api.description import WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, TheShop
from service.api.overhauls.recorded import RecordedAnswer, answered
from service.workshop import step_results
from service.workshop.entries import BenchRunStarted, BenchStepRecorded
from service.workshop.step_results import StepResult
from service.workshop.vocabulary import RunPurpose

router = APIRouter(prefix="/overhauls/{number}/bench-runs", tags=["overhauls"], route_class=ExactRoute)


class BenchRunBody(FormBody):
    """A run with the rig's pressure gauge."""

    purpose: RunPurpose
    gauge: Name


class VentBody(Body):
    """Oil came without air."""

    kind: Literal["vent"]
    air_free: Yes

    def result(self) -> StepResult:
        """For the rules."""
        return step_results.VentResult(air_free=self.air_free)


class StrokesBody(Body):
    """How many full strokes were made."""

    kind: Literal["strokes"]
    strokes: Count

    def result(self) -> StepResult:
        """For the rules."""
        return step_results.StrokesResult(strokes=self.strokes)


class SeatTightnessBody(Body):
    """Pressure held, for how long, and whether the nozzle stayed dry."""

    kind: Literal["seat-tightness"]
    pressure_bar: Number
    held_s: Count
    dry: Yes

    def result(self) -> StepResult:
        """For the rules."""
        pressure = quantity(self.pressure_bar, None, "bar", "pressure_bar")
        return step_results.SeatTightnessResult(pressure_bar=pressure, held_s=self.held_s, dry=self.dry)


class OpeningPressureBody(Body):
    """Opening pressure of each stroke."""

    kind: Literal["opening-pressure"]
    strokes_bar: Annotated[list[Number], Field(max_length=100)]

    def result(self) -> StepResult:
        """For the rules."""
        strokes = tuple(quantity(typed, None, "bar", "strokes_bar") for typed in self.strokes_bar)
        return step_results.OpeningPressureResult(strokes_bar=strokes)


class EmissionBody(Body):
    """Holes that sprayed, numbered from 1."""

    kind: Literal["emission"]
    spraying: Annotated[list[Count], Field(max_length=100)]

    def result(self) -> StepResult:
        """For the rules."""
        return step_results.EmissionResult(spraying=tuple(sorted(set(self.spraying))))


class QuickDropBody(Body):
    """Whether the quick drop on opening showed."""

    kind: Literal["quick-drop"]
    seen: Yes

    def result(self) -> StepResult:
        """For the rules."""
        return step_results.QuickDropResult(seen=self.seen)


class ExternalTightnessBody(Body):
    """Pressure held with the return blocked, for how long, and the places that leaked."""

    kind: Literal["external-tightness"]
    pressure_bar: Number
    held_s: Count
    leaks: Annotated[list[Name], Field(max_length=50)]

    def result(self) -> StepResult:
        """For the rules."""
        pressure = quantity(self.pressure_bar, None, "bar", "pressure_bar")
        return step_results.ExternalTightnessResult(pressure_bar=pressure, held_s=self.held_s, leaks=tuple(self.leaks))


AnyStepBody = Annotated[
    VentBody
    | StrokesBody
    | SeatTightnessBody
    | OpeningPressureBody
    | EmissionBody
    | QuickDropBody
    | ExternalTightnessBody,
    Field(discriminator="kind"),
]


class BenchStepBody(FormBody):
    """What one step of the test plan recorded."""

    result: AnyStepBody


@router.post("", status_code=201, operation_id="start_bench_run", responses=WRITES)
def bench_run(number: InPath, body: BenchRunBody, actor: Actor = AtBench, shop: Shop = TheShop) -> RecordedAnswer:
    """Start a run; `seq` of the answer is its number."""
    recorded = start_bench_run(shop, actor, number, body.form, purpose=body.purpose, gauge=body.gauge)
    return answered(recorded, BenchRunStarted)


@router.post("/{run}/steps/{step}", status_code=201, operation_id="record_bench_step", responses=WRITES)
def bench_step(
    number: InPath, run: IdInPath, step: InPath, body: BenchStepBody, actor: Actor = AtBench, shop: Shop = TheShop
) -> RecordedAnswer:
    """Record one step in the order of the test plan; pass or fail comes back with its reason."""
    recorded = record_bench_step(shop, actor, number, body.form, run=run, step=step, result=body.result.result())
    return answered(recorded, BenchStepRecorded)
