"""The pressure traces that go onto a certificate: those of its runs whose reading somebody has confirmed."""

from typing import TYPE_CHECKING

from sqlmodel import Session

from service.actions.looking_at_traces import TraceInRun, trace_in_run
from service.records.bench_trace_reads import traces_of
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.proving import bench_runs
from service.workshop.test_plan import OpeningPressureStep
from service.workshop.vocabulary import RunPurpose

if TYPE_CHECKING:
    from service.documents.trace_figures import RunTrace


def confirmed_traces(session: Session, loaded: LoadedOverhaul) -> "tuple[RunTrace, ...]":
    """Each confirmed trace of the runs that a certificate tells step by step, with all that was detected in it."""
    record = loaded.record
    told = [*bench_runs(record, RunPurpose.AS_FOUND), *bench_runs(record, RunPurpose.PROVING)[-1:]]
    runs = {run.number for run in told}
    kept = [one for one in traces_of(session, loaded.row.id or 0) if one.confirmed and one.run in runs]
    return tuple(_run_trace(trace_in_run(session, loaded, one.id, read=True)) for one in kept)


def _run_trace(trace: TraceInRun) -> "RunTrace":
    from service.documents.trace_figures import RunTrace  # NumPy comes with it, and only with a trace

    plan, kept = trace.loaded.record.sheet.test_plan, trace.kept
    opening = isinstance(trace.step, OpeningPressureStep)
    return RunTrace(
        number=kept.id,
        run=kept.run,
        step=trace.step.title,
        confirmed_by="" if kept.confirmed is None else kept.confirmed.person_name,
        analysis=trace.analysed().analysis,
        rejected=tuple((one.event, one.reason) for one in kept.rejections),
        limits_bar=(float(plan.opening_lower_bar), float(plan.opening_upper_bar)) if opening else (),
    )
