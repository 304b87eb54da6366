"""The pressure traces of a run on a certificate: each as vector graphics, with what it says in numbers."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from service.documents.printed_values import Block
from service.hydraulics.trace.accepted import EventAt, events_meant, without
from service.hydraulics.trace.analysis import TraceAnalysis
from service.hydraulics.trace.answer import TraceFound
from service.hydraulics.trace.holds import Hold

_FONT = 'font-family="Libertinus Serif"'  # the document's own: no other is in the file


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class RunTrace:
    """A trace that was kept with a run, how it is read confirmed: all that was detected, and what was rejected."""

    number: int
    run: int
    step_key: str
    step: str
    sha256: str
    size_bytes: int
    confirmed_by: str
    confirmed_at: datetime
    found: TraceFound
    rejected: tuple[tuple[EventAt, str], ...]
    """Each with its reason."""
    limits_bar: tuple[float, ...]

    @property
    def analysis(self) -> TraceAnalysis:
        """With every event that was detected."""
        return self.found.analysis

    @property
    def accepted(self) -> TraceAnalysis:
        """Without the events that were rejected."""
        return without(self.found.analysis, [named for named, _ in self.rejected])


def trace_figures(traces: Iterable[RunTrace], runs: Iterable[int]) -> list[Block]:
    """One figure for each trace of these runs, in their order."""
    wanted = set(runs)
    return [_figure(one) for one in traces if one.run in wanted]


def _figure(trace: RunTrace) -> Block:
    # NumPy loads with the first trace that is drawn: most certificates have none.
    from service.documents.trace_plot import trace_plot

    out = tuple(event for named, _ in trace.rejected for event in events_meant(trace.analysis, named))
    plot = trace_plot(trace.analysis, limits_bar=trace.limits_bar, rejected=out)
    return {
        "kind": "figure",
        "svg": plot.svg.replace('font-family="sans-serif"', _FONT),
        "alternative": plot.description,
        "title": f"Pressure trace {trace.number}, {trace.step}",
        "rows": _rows(trace),
    }


def _rows(trace: RunTrace) -> list[list[str]]:
    accepted = trace.accepted
    found = accepted.statistics
    rows = [["Rows", f"{trace.analysis.rows:,}".replace(",", " ")], ["Read as confirmed by", trace.confirmed_by]]
    rows.append(["Openings", f"{len(accepted.openings)} of {len(trace.analysis.openings)} count"])
    if found is not None:
        rows.append(["Mean", f"{found.mean_bar:.1f} bar"])
        rows.append(["Spread", f"{found.spread_bar:.1f} bar"])
        rows.append(["Standard uncertainty of the mean", f"{found.standard_uncertainty_bar:.2f} bar"])
    for number, hold in enumerate(trace.analysis.holds):
        rows.append(_hold_row(number, hold, accepted))
    rows += [["Rejected", f"{named.kind.value} at {named.at_s:.1f} s: {reason}"] for named, reason in trace.rejected]
    return rows


def _hold_row(number: int, hold: Hold, accepted: TraceAnalysis) -> list[str]:
    from service.documents.trace_plot import letter

    low, high = hold.interval
    leak = accepted.rig.leak(hold.rate_bar_per_min)
    told = f"{hold.rate_bar_per_min:.2f} bar/min, 95 % {low:.2f} to {high:.2f}"
    told += "" if leak is None else f"; leak {leak:.3g} mm³/s"
    return [f"Hold {letter(number)}", told if hold in accepted.holds else "rejected"]
