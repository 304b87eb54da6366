"""Runs on the test rig."""

from dataclasses import replace
from datetime import date

from sqlmodel import Session

from service.actions.looking import run_and_step
from service.actions.recording import Form, Recorded, record_entry
from service.actions.rig_duties import rig_of_gauge
from service.actions.shop import BENCH, Actor, Refused, Shop, require
from service.actions.taking_instruments import gauge_in_use, instrument_in_use
from service.records.decision_rules import rule_in_force
from service.records.overhaul_store import LoadedOverhaul
from service.records.rig_reads import known_rig, rig_row
from service.workshop.bench_judgement import judge_step
from service.workshop.entries import BenchRunStarted, BenchStepRecorded
from service.workshop.instrument_fitness import check_range
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import BenchRun
from service.workshop.step_results import BackLeakageResult, StepResult, pressures_bar
from service.workshop.test_rig import why_indicative, why_not_continued
from service.workshop.vocabulary import InstrumentKind, RunPurpose


def start_bench_run(
    shop: Shop, actor: Actor, number: str, form: Form, *, purpose: RunPurpose, gauge: str, rig: str = ""
) -> Recorded:
    """Start a run with the rig's pressure gauge; `seq` of the answer is the run's number.

    The rig follows from its gauge, and is named only where the gauge serves several. Without a good check of the rig
    on that day the run is indicative. Raises NotFound, NotPermitted, Conflict, InstrumentRefused for the gauge, Refused
    for the rig.
    """
    require(actor, *BENCH)

    def build(loaded: LoadedOverhaul, session: Session) -> BenchRunStarted:
        today = shop.today
        use = gauge_in_use(session, gauge, on=today, values=(loaded.record.sheet.test_plan.opening_set_bar,))
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

    `cylinder` is the code of the measuring cylinder that caught a back leakage; the other steps need none. A run that
    is to prove something goes on another day only after a good check of that day. Raises NotFound, NotPermitted,
    Conflict, Refused, InstrumentRefused, or as `judge_step` does; each names its field.
    """
    require(actor, *BENCH)

    def build(loaded: LoadedOverhaul, session: Session) -> BenchStepRecorded:
        of_run, wanted = run_and_step(loaded.record, run, step)
        plan, gauge, today = loaded.record.sheet.test_plan, of_run.started.gauge, shop.today
        _check_still_fit(session, shop, loaded.record, of_run, result)
        found = _caught(session, result, cylinder, today)
        outcome = judge_step(plan, wanted, found, gauge, rule_in_force(session))
        field = "strokes_bar" if result.kind == "opening-pressure" else "pressure_bar"
        check_range(gauge, pressures_bar(result), field)
        return BenchStepRecorded(run=run, step=step, result=found, outcome=outcome)

    return record_entry(shop, actor, number, form, build)


def why_paused(shop: Shop, record: OverhaulRecord, run: int) -> str:
    """Why the run takes no step today, '' where it does: told before somebody pumps for nothing."""
    with shop.store.reading() as session:
        return _why_paused(session, shop, record, run)


def _check_still_fit(session: Session, shop: Shop, record: OverhaulRecord, run: BenchRun, result: StepResult) -> None:
    """The gauge may have run out or been quarantined since the run began, and its rig wants a check of each day.

    Raises InstrumentRefused or Refused.
    """
    if pressures_bar(result):
        gauge_in_use(session, run.started.gauge.code, on=shop.today)
    if why := _why_paused(session, shop, record, run.number):
        raise Refused("rig-not-checked", why)


def _why_paused(session: Session, shop: Shop, record: OverhaulRecord, run: int) -> str:
    """A run that is indicative proves nothing anyhow, and one from before rigs were registered has no rig."""
    begun_at, started = next((entry.at, entry.content) for entry in record.entries if entry.seq == run)
    if not isinstance(started, BenchRunStarted) or started.rig is None or started.indicative:
        return ""
    begun, today = shop.day_of(begun_at), shop.today
    if begun == today:
        return ""
    row = rig_row(session, started.rig.code)
    check = None if row is None else known_rig(session, row, today).check
    return why_not_continued(started.rig, check, begun, today)


def _caught(session: Session, result: StepResult, cylinder: str, on: date) -> StepResult:
    """A back leakage with its measuring cylinder as the register has it on that day; any other result as it is."""
    if not isinstance(result, BackLeakageResult):
        return result
    kinds = (InstrumentKind.MEASURING_CYLINDER,)
    use = instrument_in_use(session, cylinder, kinds=kinds, unit="ml", on=on, field="cylinder")
    check_range(use, (result.volume_ml,), "volume_ml")
    return replace(result, cylinder=use)
