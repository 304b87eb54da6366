"""The lines of a trace's tables, and each verdict of its plan, in words for people."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from service.workshop.vocabulary import VerdictKind

if TYPE_CHECKING:
    from service.hydraulics.trace.against_plan import PlanFinding
    from service.hydraulics.trace.analysis import OpeningStatistics, Rig
    from service.hydraulics.trace.holds import Hold
    from service.hydraulics.trace.openings import Opening


@dataclass(frozen=True)
class OpeningRow:
    """One opening: s, bar, ms."""

    number: str
    at: str
    opening: str
    closing: str
    drop: str


@dataclass(frozen=True)
class HoldRow:
    """One hold: s, bar, bar/min; `leak` is '' where the rig is not known; `note` says what was special."""

    name: str
    span: str
    steady: str
    mean: str
    rate: str
    interval: str
    leak: str
    note: str


@dataclass(frozen=True)
class PlanRow:
    """One verdict: its mark, its label, on what, and why."""

    mark: str
    label: str
    what: str
    sentence: str


def opening_row(number: int, one: "Opening") -> OpeningRow:
    """An opening by its number from 1."""
    return OpeningRow(
        str(number), f"{one.t_s:.3f}", f"{one.opening_bar:.1f}", f"{one.closing_bar:.1f}", f"{one.drop_s * 1000:.0f}"
    )


def hold_row(number: int, one: "Hold", rig: "Rig") -> HoldRow:
    """A hold by its number from 0."""
    from service.documents.trace_plot import letter  # NumPy comes with it, and only with a trace

    low, high = one.interval
    leak = rig.leak(one.rate_bar_per_min)
    bends = "The decay bends all along: the rate is the mean one." if one.bends else ""
    warmth = f"{one.temperature.value[0].upper()}{one.temperature.value[1:]}."
    if one.rate_bar_per_min != one.uncorrected_bar_per_min:
        warmth = f"{warmth[:-1]}; without it {one.uncorrected_bar_per_min:.2f} bar/min."
    return HoldRow(
        name=letter(number),
        span=f"{one.start_s:.1f} to {one.end_s:.1f}",
        steady=f"{one.steady_from_s:.1f}",
        mean=f"{one.mean_bar:.1f}",
        rate=f"{one.rate_bar_per_min:.2f}",
        interval=f"{low:.2f} to {high:.2f}",
        leak="" if leak is None else f"{leak:.3g}",
        note=f"{warmth} {bends}".strip(),
    )


def plan_row(one: "PlanFinding") -> PlanRow:
    """A verdict of the plan."""
    kind = VerdictKind(one.verdict)
    return PlanRow(kind.value, kind.label, one.what, one.sentence)


def openings_in_words(found: "OpeningStatistics | None") -> str:
    """Mean, spread and uncertainty of the openings; '' where there are not two."""
    if found is None or found.interval is None:
        return ""
    low, high = found.interval
    return (
        f"Mean {found.mean_bar:.2f} bar, spread {found.spread_bar:.2f} bar, standard uncertainty of the mean "
        f"{found.standard_uncertainty_bar:.2f} bar (s/√n), 95 % interval {low:.1f} to {high:.1f} bar; the gauge’s "
        "own uncertainty comes on top."
    )
