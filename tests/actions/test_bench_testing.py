"""Runs on the test rig."""

import pytest

from service.actions.bench_testing import record_bench_step, start_bench_run
from service.actions.recording import Form, Recorded
from service.actions.shop import Actor, NotFound, Shop
from service.metrology.errors import DomainError
from service.workshop.permitted import NotPermitted
from service.workshop.step_results import StepResult, StrokesResult
from service.workshop.vocabulary import RunPurpose, Stage
from tests.actions.at_the_bench import bring_to, form, loaded
from tests.actions.duties import (
    Act,
    is_out_of_place,
    is_recorded_once,
    keeps_out,
    knows_no_stranger,
    refuses,
    tells_what_changed,
)
from tests.registered_fleet import Fleet
from tests.small_findings import FAILING, PASSING


def starting(shop: Shop, purpose: RunPurpose = RunPurpose.PROVING, gauge: str = "GAUGE-1") -> Act:
    def act(actor: Actor, number: str, blank: Form) -> Recorded:
        return start_bench_run(shop, actor, number, blank, purpose=purpose, gauge=gauge)

    return act


def step(shop: Shop, run: int, key: str, result: StepResult) -> Act:
    def act(actor: Actor, number: str, blank: Form) -> Recorded:
        return record_bench_step(shop, actor, number, blank, run=run, step=key, result=result)

    return act


def test_a_run_is_started_on_a_rebuilt_injector(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.REBUILT)
    keeps_out(shop, number, starting(shop), fleet.office)
    knows_no_stranger(shop, fleet, number, starting(shop), fleet.technician)
    is_recorded_once(shop, number, starting(shop), fleet.technician)
    tells_what_changed(shop, number, starting(shop), fleet.technician, fleet.second_technician)
    is_out_of_place(shop, number, starting(shop, RunPurpose.AS_FOUND), fleet.technician)


def test_each_step_is_recorded_once_in_the_plans_order(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.REBUILT)
    run = starting(shop)(fleet.technician, number, form(shop, number)).seq
    vent = step(shop, run, "vent", PASSING["vent"])
    keeps_out(shop, number, vent, fleet.office)
    is_recorded_once(shop, number, vent, fleet.technician)
    early = step(shop, run, "external", PASSING["external"])
    refuses(shop, number, lambda: early(fleet.technician, number, form(shop, number)), NotPermitted)


def test_a_failed_step_ends_the_run(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.REBUILT)
    run = starting(shop)(fleet.technician, number, form(shop, number)).seq
    step(shop, run, "vent", FAILING["vent"])(fleet.technician, number, form(shop, number))
    blow = step(shop, run, "blow", PASSING["blow"])
    error = refuses(shop, number, lambda: blow(fleet.technician, number, form(shop, number)), NotPermitted)
    assert error.code == "run-failed"
    assert loaded(shop, number).row.stage == "rebuilt"


@pytest.mark.parametrize("gauge", ["", "GAUGE-9", "MIC-1"])
def test_a_run_needs_the_rigs_pressure_gauge(shop: Shop, fleet: Fleet, gauge: str) -> None:
    number = bring_to(shop, fleet, Stage.RECEIVED)
    act = starting(shop, RunPurpose.AS_FOUND, gauge)
    error = refuses(shop, number, lambda: act(fleet.technician, number, form(shop, number)), DomainError)
    assert error.field == "gauge"


def test_a_result_that_nobody_can_have_seen_is_refused(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.REBUILT)
    run = starting(shop)(fleet.technician, number, form(shop, number)).seq
    step(shop, run, "vent", PASSING["vent"])(fleet.technician, number, form(shop, number))
    bad: list[tuple[Act, type[DomainError]]] = [
        (step(shop, run, "blow", StrokesResult(strokes=-1)), DomainError),
        (step(shop, run, "blow", PASSING["vent"]), DomainError),
        (step(shop, run, "polish", PASSING["vent"]), NotFound),
        (step(shop, 999, "blow", PASSING["blow"]), NotFound),
    ]
    for act, kind in bad:
        refuses(shop, number, lambda act=act: act(fleet.technician, number, form(shop, number)), kind)  # type: ignore[misc]


def test_an_as_found_test_is_made_before_stripping(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.RECEIVED)
    run = starting(shop, RunPurpose.AS_FOUND)(fleet.technician, number, form(shop, number)).seq
    done = step(shop, run, "vent", FAILING["vent"])(fleet.technician, number, form(shop, number))
    assert done.stage is Stage.RECEIVED
