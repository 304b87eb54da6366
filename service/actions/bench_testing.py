"""Runs on the test rig."""

from dataclasses import replace
from datetime import date

from sqlmodel import Session

from service.actions.recording import Form, Recorded, record_entry
from service.actions.rig_duties import rig_of_gauge
from service.actions.shop import BENCH, Actor, NotFound, Shop, require
from service.actions.taking_instruments import instrument_in_use
from service.records.decision_rules import rule_in_force
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.bench_judgement import judge_step
from service.workshop.entries import BenchRunStarted, BenchStepRecorded
from service.workshop.instrument_fitness import check_range
from service.workshop.proving import bench_run
from service.workshop.step_results import BackLeakageResult, StepResult, pressures_bar
from service.workshop.test_rig import why_indicative
from service.workshop.vocabulary import InstrumentKind, RunPurpose


def start_bench_run(
    shop: Shop, actor: Actor, number: str, form: Form, *, purpose: RunPurpose, gauge: str, rig: str = ""
) -> Recorded:
    """Start a run with the rig's pressure gauge; `seq` of the answer is the run's number.

    The rig follows from its gauge, and is named only where the gauge serves several. Without a good check of the rig
    on that day the run is indicative.
    """
    require(actor, *BENCH)

    def build(loaded: LoadedOverhaul, session: Session) -> BenchRunStarted:
        today = shop.now().date()
        use = instrument_in_use(
            session,
            gauge,
            kinds=(InstrumentKind.PRESSURE_GAUGE,),
            unit="bar",
            values=(loaded.record.sheet.test_plan.opening_set_bar,),
            on=today,
            field="gauge",
        )
        known = rig_of_gauge(session, use.code, rig, today)
        check = None if known is None else known.check
        return BenchRunStarted(
            purpose=purpose,
            gauge=use,
            rig=None if known is None else known.rig.used(check),
            indicative=why_indicative(None if known is None else known.rig, check, today),
        )

    return record_entry(shop, actor, number, form, build)


def record_bench_step(
    shop: Shop, actor: Actor, number: str, form: Form, *, run: int, step: str, result: StepResult, cylinder: str = ""
) -> Recorded:
    """Judge and record one step of a run, in the order of the test plan.

    `cylinder` is the code of the measuring cylinder that caught a back leakage; the other steps need none.
    """
    require(actor, *BENCH)

    def build(loaded: LoadedOverhaul, session: Session) -> BenchStepRecorded:
        plan = loaded.record.sheet.test_plan
        runs = {seq for seq, _ in loaded.record.all_of(BenchRunStarted)}
        if step not in plan.step_by_key or run not in runs:
            raise NotFound("no-step", "There is no such step or run.")
        gauge = bench_run(loaded.record, run).started.gauge
        found = _caught(session, result, cylinder, shop.now().date())
        outcome = judge_step(plan, plan.step_by_key[step], found, gauge, rule_in_force(session))
        field = "strokes_bar" if result.kind == "opening-pressure" else "pressure_bar"
        check_range(gauge, pressures_bar(result), field)
        return BenchStepRecorded(run=run, step=step, result=found, outcome=outcome)

    return record_entry(shop, actor, number, form, build)


def _caught(session: Session, result: StepResult, cylinder: str, on: date) -> StepResult:
    """A back leakage with its measuring cylinder as the register has it on that day; any other result as it is."""
    if not isinstance(result, BackLeakageResult):
        return result
    kinds = (InstrumentKind.MEASURING_CYLINDER,)
    use = instrument_in_use(session, cylinder, kinds=kinds, unit="ml", on=on, field="cylinder")
    check_range(use, (result.volume_ml,), "volume_ml")
    return replace(result, cylinder=use)
