"""Runs on the test rig and their steps."""

from fastapi import APIRouter

from service.actions.bench_testing import record_bench_step, start_bench_run
from service.actions.shop import Actor, Shop
from service.api.bodies import FormBody, IdInPath, InPath, Name
from service.api.description import WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, TheShop
from service.api.overhauls.recorded import RecordedAnswer, answered
from service.api.overhauls.step_bodies import AnyStepBody, BackLeakageBody
from service.workshop.entries import BenchRunStarted, BenchStepRecorded
from service.workshop.vocabulary import RunPurpose

router = APIRouter(prefix="/overhauls/{number}/bench-runs", tags=["overhauls"], route_class=ExactRoute)


class BenchRunBody(FormBody):
    """A run with the rig's pressure gauge; `rig` only where the gauge serves several."""

    purpose: RunPurpose
    gauge: Name
    rig: Name = ""


class BenchStepBody(FormBody):
    """What one step of the test plan recorded."""

    result: AnyStepBody

    @property
    def cylinder(self) -> str:
        """The code of the measuring cylinder, '' where the step needs none."""
        return self.result.cylinder if isinstance(self.result, BackLeakageBody) else ""


@router.post("", status_code=201, operation_id="start_bench_run", responses=WRITES)
def bench_run(number: InPath, body: BenchRunBody, actor: Actor = AtBench, shop: Shop = TheShop) -> RecordedAnswer:
    """Start a run; `seq` of the answer is its number."""
    recorded = start_bench_run(shop, actor, number, body.form, purpose=body.purpose, gauge=body.gauge, rig=body.rig)
    return answered(recorded, BenchRunStarted)


@router.post("/{run}/steps/{step}", status_code=201, operation_id="record_bench_step", responses=WRITES)
def bench_step(
    number: InPath, run: IdInPath, step: InPath, body: BenchStepBody, actor: Actor = AtBench, shop: Shop = TheShop
) -> RecordedAnswer:
    """Record one step in the order of the test plan; pass, fail or cannot tell comes back with its reason."""
    result, cylinder = body.result.result(), body.cylinder
    recorded = record_bench_step(shop, actor, number, body.form, run=run, step=step, result=result, cylinder=cylinder)
    return answered(recorded, BenchStepRecorded)
