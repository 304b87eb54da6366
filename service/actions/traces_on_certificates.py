"""The pressure traces that go onto a certificate: those of its runs whose reading somebody has confirmed.

They are analysed before the transaction that issues it, since a long trace takes its time and nobody else could write
meanwhile; in the transaction it is only asked whether they are still the same.
"""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from sqlmodel import Session

from service.actions.looking_at_traces import TraceInRun, trace_in_run
from service.actions.recording import load_in_scope
from service.actions.shop import Actor, Conflict, Shop
from service.records.bench_trace_reads import KeptConfirmation, KeptTrace, traces_of
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.proving import bench_runs
from service.workshop.test_plan import OpeningPressureStep
from service.workshop.vocabulary import RunPurpose

if TYPE_CHECKING:
    from service.documents.trace_figures import RunTrace


@dataclass(frozen=True)
class AnalysedForCertificate:
    """The traces as they were kept, by digests and by what was said of them, and what they show."""

    kept: tuple[KeptTrace, ...]
    traces: "tuple[RunTrace, ...]"

    def still_kept(self, session: Session, loaded: LoadedOverhaul) -> "tuple[RunTrace, ...]":
        """The traces, in the transaction that prints them. Raises Conflict where one was changed or came since."""
        if _confirmed(session, loaded) != self.kept:
            raise Conflict(
                "trace-changed", "A pressure trace was changed while you signed. Look at it, then sign again."
            )
        return self.traces


def analyse_for_certificate(shop: Shop, actor: Actor, number: str) -> AnalysedForCertificate:
    """Each confirmed trace of the runs that a certificate tells step by step. Raises NotFound."""
    with shop.store.reading() as session:
        loaded = load_in_scope(session, actor, number)
        kept = _confirmed(session, loaded)
    shown = ((one, trace_in_run(shop, loaded, one)) for one in kept)
    return AnalysedForCertificate(
        kept, tuple(_run_trace(trace, one.confirmed) for one, trace in shown if one.confirmed is not None)
    )


def _confirmed(session: Session, loaded: LoadedOverhaul) -> tuple[KeptTrace, ...]:
    record = loaded.record
    told = [*bench_runs(record, RunPurpose.AS_FOUND), *bench_runs(record, RunPurpose.PROVING)[-1:]]
    runs = {run.number for run in told}
    return tuple(one for one in traces_of(session, loaded.row.id or 0) if one.confirmed and one.run in runs)


def _run_trace(trace: TraceInRun, confirmed: KeptConfirmation) -> "RunTrace":
    from service.documents.trace_figures import RunTrace  # NumPy comes with it, and only with a trace

    plan, kept = trace.loaded.record.sheet.test_plan, trace.kept
    opening = isinstance(trace.step, OpeningPressureStep)
    return RunTrace(
        number=kept.id,
        run=kept.run,
        step_key=kept.step,
        step=trace.step.title,
        sha256=trace.sha256,
        size_bytes=kept.size,
        confirmed_by=confirmed.person_name,
        confirmed_at=confirmed.recorded_at,
        found=trace.analysed(),
        rejected=tuple((one.event, one.reason) for one in kept.rejections),
        limits_bar=(float(plan.opening_lower_bar), float(plan.opening_upper_bar)) if opening else (),
    )
