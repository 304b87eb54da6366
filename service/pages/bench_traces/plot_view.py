"""The plot of one trace with the ways to look at it closely: its stretch, the steps from there, the two fields."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from service.actions.looking_at_traces import TraceInRun
from service.documents.trace_stretches import Stretch, Window
from service.pages.bench_traces.places import trace_address
from service.pages.overhauls.small_forms import PageForms
from service.pages.plotted_trace import PlottedTrace, plotted_trace
from service.pages.rendering import FormState
from service.workshop.test_plan import OpeningPressureStep

if TYPE_CHECKING:
    from service.documents.trace_plot import TracePlot
    from service.hydraulics.trace.analysis import TraceAnalysis
    from service.hydraulics.trace.answer import TraceFound
    from service.hydraulics.trace.holds import Hold
    from service.hydraulics.trace.openings import Opening

WINDOW = "window"
"""The form that asks for another stretch."""


@dataclass(frozen=True)
class PlotStep:
    """A step to another stretch; no `href` where it would change nothing."""

    id: str
    label: str
    href: str


@dataclass(frozen=True)
class TracePlotted:
    """The plot and what leads on from it."""

    address: str
    shown: str
    steps: tuple[PlotStep, ...]
    window: FormState
    plotted: PlottedTrace


@dataclass(frozen=True)
class PlotPart:
    """The part of the page that is drawn anew; None where the trace shows nothing."""

    plot: TracePlotted | None


def trace_plotted(
    trace: TraceInRun, found: "TraceFound", accepted: "TraceAnalysis", forms: PageForms, window: Window
) -> TracePlotted:
    """The plot of that stretch of the trace, rejected events marked so."""
    from service.documents.trace_plot import trace_plot  # NumPy comes with it, and only with a trace

    plan, analysis = trace.loaded.record.sheet.test_plan, found.analysis
    limits: tuple[float, ...] = ()
    if isinstance(trace.step, OpeningPressureStep):
        limits = (float(plan.opening_lower_bar), float(plan.opening_upper_bar))
    events: tuple[Opening | Hold, ...] = (*analysis.openings, *analysis.holds)
    rejected = tuple(one for one in events if one not in (*accepted.openings, *accepted.holds))
    plot = trace_plot(analysis, limits_bar=limits, window_s=window, rejected=rejected)
    address = trace_address(f"/overhauls/{trace.loaded.row.number}", trace.kept.id)
    return TracePlotted(
        address=address,
        shown=_shown(plot.shown, plot.whole),
        steps=_steps(plot, address),
        window=_window_state(forms, plot),
        plotted=plotted_trace(plot, found.recognised),
    )


def stretch_address(address: str, stretch: Stretch) -> str:
    """Where the page shows that stretch."""
    start, end = stretch.told
    return f"{address}?from_s={start}&to_s={end}"


def _shown(shown: Stretch, whole: Stretch) -> str:
    start, end = shown.told
    if shown == whole:
        return f"The whole trace, {start} to {end} s."
    return f"From {start} to {end} s of {whole.told[0]} to {whole.told[1]} s."


def _steps(plot: "TracePlot", address: str) -> tuple[PlotStep, ...]:
    moves = (
        ("closer", "Closer", 0.5, 0.0),
        ("wider", "Wider", 2.0, 0.0),
        ("earlier", "Earlier", 1.0, -0.5),
        ("later", "Later", 1.0, 0.5),
    )
    steps = []
    for name, label, times, by in moves:
        moved = plot.shown.stepped(plot.whole, times=times, by=by)
        steps.append(PlotStep(f"trace-{name}", label, "" if moved is None else stretch_address(address, moved)))
    back = "" if plot.shown == plot.whole else address
    return (*steps, PlotStep("trace-whole", "Whole trace", back))


def _window_state(forms: PageForms, plot: "TracePlot") -> FormState:
    forms.made.append(WINDOW)
    if forms.refusal is not None and forms.refusal.form_id == WINDOW:
        return forms.refusal.typed.shown(forms.refusal.error)
    if plot.shown == plot.whole:
        return FormState()
    return FormState(dict(zip(("from_s", "to_s"), plot.shown.told, strict=True)))
