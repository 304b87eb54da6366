"""What the page of one trace shows: how it was read, its events, each with the form that rejects it, the verdict."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from service.actions.looking_at_traces import TraceInRun
from service.documents.trace_stretches import Stretch, Window
from service.hydraulics.trace.accepted import event_of
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import grouped
from service.pages.bench_traces.places import DECIMALS, DELIMITERS, UNITS, trace_address, traces_address
from service.pages.bench_traces.plot_view import PlotPart, TracePlotted, stretch_address, trace_plotted
from service.pages.bench_traces.step_record import StepRecord, recorded_in_words, step_record
from service.pages.choices import Option
from service.pages.desk_calculators.trace_rows import (
    HoldRow,
    OpeningRow,
    PlanRow,
    hold_row,
    opening_row,
    openings_in_words,
    plan_row,
)
from service.pages.overhauls.bench_words import step_state
from service.pages.overhauls.head import OverhaulHead, overhaul_head
from service.pages.overhauls.small_forms import Fact, Link, PageForms, SmallForm
from service.pages.rendering import FormState, Frame, minute
from service.workshop.bench_judgement import judge_step
from service.workshop.decision_rule import DecisionRule
from service.workshop.run_traces import check_traceable, seat_held, strokes_of
from service.workshop.step_results import OpeningPressureResult
from service.workshop.test_plan import SeatTightnessStep

if TYPE_CHECKING:
    from service.hydraulics.trace.analysis import TraceAnalysis
    from service.hydraulics.trace.answer import TraceFound
    from service.hydraulics.trace.holds import Hold
    from service.hydraulics.trace.openings import Opening


@dataclass(frozen=True)
class Judged:
    """One detected event that can be rejected: `rejected` says why and by whom, '' where it counts."""

    opening: OpeningRow | None
    hold: HoldRow | None
    event: str
    at_s: str
    closer: str
    """Where the plot shows the event closely."""
    rejected: str
    form: SmallForm | None


@dataclass(frozen=True)
class TraceShown:
    """What the trace shows."""

    facts: tuple[Fact, ...]
    openings: tuple[Judged, ...]
    summary: str
    """Of the openings that count, '' where there are not two."""
    holds: tuple[Judged, ...]
    remarks: tuple[str, ...]
    verdict: PlanRow


@dataclass(frozen=True)
class TracePage:
    """One trace. `found` is None where it shows nothing yet, and `trouble` says why."""

    page: Frame
    head: OverhaulHead
    unplaced: FormState
    title: str
    kept: str
    back: Link
    address: str
    confirmed: str
    closed: str
    read: SmallForm | None
    delimiters: tuple[Option, ...]
    decimals: tuple[Option, ...]
    units: tuple[Option, ...]
    found: TraceShown | None
    plot: TracePlotted | None
    trouble: str
    record: StepRecord | None
    recorded: str


def plot_part(trace: TraceInRun, forms: PageForms, window: Window) -> PlotPart:
    """Only the plot, for another stretch of it."""
    found, _ = _found(trace)
    return PlotPart(None if found is None else trace_plotted(trace, found, trace.accepted(found), forms, window))


def trace_page(frame: Frame, trace: TraceInRun, rule: DecisionRule, forms: PageForms, window: Window) -> TracePage:
    """The page of one trace of one run."""
    head, kept = overhaul_head(trace.loaded, "/proving"), trace.kept
    address, closed = trace_address(head.address, kept.id), _closed(trace)
    found, trouble = _found(trace)
    accepted = None if found is None else trace.accepted(found)
    shown, plot = None, None
    if found is not None and accepted is not None:
        shown = _shown(trace, found, accepted, rule, forms, closed)
        plot = trace_plotted(trace, found, accepted, forms, window)
    return TracePage(
        page=frame,
        head=head,
        title=f"Trace {kept.id}: {trace.step.title}",
        kept=f"{grouped(kept.size)} bytes, kept by {kept.person_name}, {minute(kept.recorded_at)}",
        back=Link(traces_address(head.address, kept.run, kept.step), f"All traces of this step: {trace.step.title}"),
        address=address,
        confirmed=_confirmed(trace),
        closed=closed,
        read=None if closed else forms.form("read", f"{address}/readings", dict(kept.asked)),
        delimiters=DELIMITERS,
        decimals=DECIMALS,
        units=UNITS,
        found=shown,
        plot=plot,
        trouble=trouble,
        record=None if accepted is None else step_record(trace, accepted, forms, head.address),
        recorded=recorded_in_words(trace),
        unplaced=forms.unplaced,
    )


def _closed(trace: TraceInRun) -> str:
    try:
        check_traceable(trace.loaded.record, trace.run.number, trace.step)
    except DomainError as error:
        return error.sentence
    return ""


def _found(trace: TraceInRun) -> "tuple[TraceFound | None, str]":
    try:
        return trace.analysed(), ""
    except DomainError as error:
        return None, error.sentence


def _confirmed(trace: TraceInRun) -> str:
    done = trace.kept.confirmed
    return "" if done is None else f"Confirmed by {done.person_name}, {minute(done.recorded_at)}."


def _shown(
    trace: TraceInRun,
    found: "TraceFound",
    accepted: "TraceAnalysis",
    rule: DecisionRule,
    forms: PageForms,
    closed: str,
) -> TraceShown:
    analysis = found.analysis
    return TraceShown(
        facts=tuple(Fact(what, is_) for what, is_ in (*found.recognised.facts, ("Rows", grouped(analysis.rows)))),
        openings=tuple(
            _judged(trace, one, forms, closed, opening=opening_row(number, one))
            for number, one in enumerate(analysis.openings, 1)
        ),
        summary=openings_in_words(accepted.statistics),
        holds=tuple(
            _judged(trace, one, forms, closed, hold=hold_row(number, one, analysis.rig))
            for number, one in enumerate(analysis.holds)
        ),
        remarks=analysis.remarks,
        verdict=_verdict(trace, accepted, rule),
    )


def _judged(
    trace: TraceInRun,
    event: "Opening | Hold",
    forms: PageForms,
    closed: str,
    opening: OpeningRow | None = None,
    hold: HoldRow | None = None,
) -> Judged:
    named = event_of(event)
    out = next((one for one in trace.kept.rejections if one.event.means(event)), None)
    at = f"{named.at_s:.3f}"
    form, address = None, trace_address(f"/overhauls/{trace.loaded.row.number}", trace.kept.id)
    closer = stretch_address(address, Stretch(*event.shown_s))
    if out is None and not closed:
        form = forms.form(f"reject-{named.kind.value}-{at}", f"{address}/rejections")
    why = "" if out is None else f"Rejected by {out.person_name}: {out.reason}"
    return Judged(opening, hold, named.kind.value, at, closer, why, form)


def _verdict(trace: TraceInRun, accepted: "TraceAnalysis", rule: DecisionRule) -> PlanRow:
    """What the plan says of the accepted events, by the function that judges the step when it is recorded."""
    plan = trace.loaded.record.sheet.test_plan
    if isinstance(trace.step, SeatTightnessStep):
        wanted = plan.opening_set_bar - trace.step.margin_bar
        return plan_row(seat_held(accepted, wanted, trace.step.hold_s))
    try:
        result = OpeningPressureResult(strokes_bar=strokes_of(accepted))
        outcome = judge_step(plan, trace.step, result, trace.run.started.gauge, rule)
    except DomainError as error:
        return PlanRow("not-proven", "Not proven", "Opening pressure", error.sentence)
    mark, label = step_state(outcome)
    return PlanRow(
        mark, label, "Opening pressure", f"{outcome.sentence} Shown: {outcome.value}. Asked: {outcome.limit}."
    )
