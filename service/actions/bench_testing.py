"""Runs on the test rig."""

from sqlmodel import Session

from service.actions.recording import Form, Recorded, record_entry
from service.actions.shop import BENCH, Actor, NotFound, Shop, require
from service.actions.taking_instruments import instrument_in_use
from service.records.decision_rules import rule_in_force
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.bench_judgement import judge_step
from service.workshop.entries import BenchRunStarted, BenchStepRecorded
from service.workshop.instrument_fitness import check_range
from service.workshop.proving import bench_run
from service.workshop.step_results import StepResult, pressures_bar
from service.workshop.vocabulary import InstrumentKind, RunPurpose


def start_bench_run(shop: Shop, actor: Actor, number: str, form: Form, *, purpose: RunPurpose, gauge: str) -> Recorded:
    """Start a run with the rig's pressure gauge; `seq` of the answer is the run's number."""
    require(actor, *BENCH)

    def build(loaded: LoadedOverhaul, session: Session) -> BenchRunStarted:
        use = instrument_in_use(
            session,
            gauge,
            kinds=(InstrumentKind.PRESSURE_GAUGE,),
            unit="bar",
            values=(loaded.record.sheet.test_plan.opening_set_bar,),
            on=shop.now().date(),
            field="gauge",
        )
        return BenchRunStarted(purpose=purpose, gauge=use)

    return record_entry(shop, actor, number, form, build)


def record_bench_step(
    shop: Shop, actor: Actor, number: str, form: Form, *, run: int, step: str, result: StepResult
) -> Recorded:
    """Judge and record one step of a run, in the order of the test plan."""
    require(actor, *BENCH)

    def build(loaded: LoadedOverhaul, session: Session) -> BenchStepRecorded:
        plan = loaded.record.sheet.test_plan
        runs = {seq for seq, _ in loaded.record.all_of(BenchRunStarted)}
        if step not in plan.step_by_key or run not in runs:
            raise NotFound("no-step", "There is no such step or run.")
        gauge = bench_run(loaded.record, run).started.gauge
        outcome = judge_step(plan, plan.step_by_key[step], result, gauge, rule_in_force(session))
        field = "strokes_bar" if result.kind == "opening-pressure" else "pressure_bar"
        check_range(gauge, pressures_bar(result), field)
        return BenchStepRecorded(run=run, step=step, result=result, outcome=outcome)

    return record_entry(shop, actor, number, form, build)
