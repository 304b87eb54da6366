"""A pressure trace with its detected events as SVG: openings numbered, holds lettered, limits across.

Plain text, without a plotting library: the same drawing stands on a page and in a certificate. Everything is told apart
by shape, dashes and a name at it, never by a colour.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from service.documents.drawing import drawing, element, line, path, words
from service.documents.trace_scale import BOTTOM, LEFT, RIGHT, TOP, DrawnLine, TraceScale, drawn_line, scale_of, written
from service.documents.trace_stretches import Stretch, Window, stretch_asked
from service.hydraulics.trace.analysis import TraceAnalysis
from service.hydraulics.trace.holds import Hold
from service.hydraulics.trace.openings import Opening
from service.metrology.typed_numbers import grouped

_WIDTH = 600
_LEGEND_TOP, _ROW = 398.0, 25.0
_TRACE_WIDTH, _HOLD_WIDTH, _LIMIT_WIDTH = 1.3, 3.2, 1.6
_HOLD_DASHES, _LIMIT_DASHES = "9 4", "14 3 2 3 2 3"
_MOST_NUMBERED = 24
_DOTTED_UP_TO = 120  # readings: so few are drawn as dots too


@dataclass(frozen=True, slots=True)
class TracePlot:
    """The drawing, and the same in words for whoever does not see it."""

    svg: str
    description: str
    scale: TraceScale
    whole: Stretch
    """From the first reading to the last."""

    @property
    def shown(self) -> Stretch:
        """The stretch of time that is drawn."""
        return Stretch(self.scale.start_s, self.scale.end_s)


def trace_plot(
    analysis: TraceAnalysis,
    *,
    limits_bar: tuple[float, ...] = (),
    window_s: Window = (None, None),
    rejected: tuple[Opening | Hold, ...] = (),
    title: str = "Pressure trace",
    drawing_id: str = "trace",
) -> TracePlot:
    """Draw the trace, or the window of it between two times in s; limits of the opening pressure are lines across.

    Rejected events stay to be seen: hollow or thin, their names in brackets. A window that holds nothing of the trace
    is left aside, and the whole is drawn.
    """
    trace = analysis.trace
    whole = Stretch(float(trace.t_s[0]), float(trace.t_s[-1]))
    shown = stretch_asked(whole, window_s)
    scale = scale_of(trace.t_s, trace.pressure_bar, limits_bar, shown.start_s, shown.end_s)
    marks = [*_axes(scale)]
    marks += [
        line(LEFT, scale.y(one), RIGHT, scale.y(one), _LIMIT_WIDTH, _LIMIT_DASHES) for one in _near(limits_bar, scale)
    ]
    marks += _line(drawn_line(trace.t_s, trace.pressure_bar, tuple(trace.gaps.tolist()), scale))
    openings = [(number, one) for number, one in enumerate(analysis.openings, 1) if scale.shows(one.t_s)]
    for number, opening in openings:
        name = str(number) if len(openings) <= _MOST_NUMBERED else ""
        marks += _opening(opening, name, scale, opening not in rejected)
    holds = [(letter(number), one) for number, one in enumerate(analysis.holds) if one.end_s > scale.start_s]
    holds = [(name, one) for name, one in holds if one.steady_from_s < scale.end_s]
    for name, hold in holds:
        marks += _hold(hold, name, scale, hold not in rejected)
    rows, height = _legend(bool(openings), bool(holds), bool(_near(limits_bar, scale)))
    text = described(analysis, scale, rejected)
    return TracePlot(drawing(drawing_id, _WIDTH, height, title, text, [*marks, *rows]), text, scale, whole)


def letter(number: int) -> str:
    """The name of a hold by its number from 0: A to Z, then A2 and so on."""
    return chr(ord("A") + number % 26) + ("" if number < 26 else str(number // 26 + 1))


def described(analysis: TraceAnalysis, scale: TraceScale, rejected: tuple[Opening | Hold, ...] = ()) -> str:
    """The plot in words."""
    told = [
        f"Pressure in bar from {scale.start_s:.6g} to {scale.end_s:.6g} s, {grouped(analysis.rows)} rows.",
        *(
            f"Opening {number} at {one.t_s:.3f} s: {one.opening_bar:.1f} bar, closing at {one.closing_bar:.1f} bar"
            f"{', rejected' if one in rejected else ''}."
            for number, one in enumerate(analysis.openings[:_MOST_NUMBERED], 1)
        ),
        *(
            f"Hold {letter(number)} from {one.start_s:.1f} to {one.end_s:.1f} s falls by "
            f"{one.rate_bar_per_min:.2f} bar/min{', rejected' if one in rejected else ''}."
            for number, one in enumerate(analysis.holds[:_MOST_NUMBERED])
        ),
    ]
    if not analysis.openings:
        told.append("No opening was found.")
    if not analysis.holds:
        told.append("No hold was found.")
    return " ".join(told)


def _line(drawn: DrawnLine) -> Iterator[str]:
    """Readings as lines of their own, which a page reads off again; dots where there are few."""
    for run in drawn.readings:
        yield path(run, False, _TRACE_WIDTH, class_="readings")
    for end in drawn.ends:
        yield path(end, False, _TRACE_WIDTH)
    places = [place for run in drawn.readings for place in run]
    if len(places) <= _DOTTED_UP_TO:
        yield from (element("circle", cx=x, cy=y, r=2.2, fill="currentColor") for x, y in places)


def _near(limits_bar: tuple[float, ...], scale: TraceScale) -> list[float]:
    return [one for one in limits_bar if scale.low_bar <= one <= scale.high_bar]


def _axes(scale: TraceScale) -> Iterator[str]:
    yield line(LEFT, TOP, LEFT, BOTTOM)
    yield line(LEFT, BOTTOM, RIGHT, BOTTOM)
    times, pressures = scale.times, scale.pressures
    step = times[1] - times[0] if len(times) > 1 else 1.0
    for at in times:
        yield line(scale.x(at), BOTTOM, scale.x(at), BOTTOM + 6)
        yield words(scale.x(at), BOTTOM + 24, written(at, step), "middle")
    step = pressures[1] - pressures[0] if len(pressures) > 1 else 1.0
    for bar in pressures:
        yield line(LEFT - 6, scale.y(bar), LEFT, scale.y(bar))
        yield line(LEFT, scale.y(bar), RIGHT, scale.y(bar), 0.4, "1 4")
        yield words(LEFT - 10, scale.y(bar) + 6, written(bar, step), "end")
    yield words(LEFT - 10, TOP - 8, "bar", "end", True)
    yield words(RIGHT, BOTTOM + 44, "s", "end", True)


def _opening(one: Opening, name: str, scale: TraceScale, counts: bool) -> list[str]:
    """A triangle that stands on the opening pressure, hollow where it is rejected; a line where it closed."""
    x, y = scale.x(one.t_s), scale.y(one.opening_bar)
    marks = [
        element(
            "path", d=f"M{x:.2f},{y:.2f}l-5,-9h10Z", fill="currentColor" if counts else "none", stroke="currentColor"
        ),
        line(x - 2, scale.y(one.closing_bar), x + 9, scale.y(one.closing_bar), 2.0),
    ]
    shown = name if counts else f"({name})"
    return [*marks, words(x, max(14.0, y - 12), shown, "middle", counts)] if name else marks


def _hold(one: Hold, name: str, scale: TraceScale, counts: bool) -> list[str]:
    """The line that the rate is read from, over the steady part, with two stops; thin where it is rejected."""
    start, end = max(one.steady_from_s, scale.start_s), min(one.end_s, scale.end_s)
    middle = (one.steady_from_s + one.end_s) / 2
    at = [one.mean_bar - one.uncorrected_bar_per_min / 60 * (t - middle) for t in (start, end)]
    places = [(scale.x(start), scale.y(at[0])), (scale.x(end), scale.y(at[1]))]
    (x1, y1), (x2, y2) = places
    return [
        path(places, False, _HOLD_WIDTH if counts else 1.0, _HOLD_DASHES),
        *(line(x, y - 8, x, y + 8, 1.8) for x, y in places),
        words((x1 + x2) / 2, max(14.0, (y1 + y2) / 2 - 12), name if counts else f"({name})", "middle", counts),
    ]


def _legend(openings: bool, holds: bool, limits: bool) -> tuple[list[str], float]:
    """What each mark means, and where the drawing ends."""
    marks: list[str] = []
    y = _LEGEND_TOP
    if openings:
        marks.append(element("path", d=f"M32,{y - 1:.2f}l-5,-9h10Z", fill="currentColor"))
        marks += [line(42, y - 2, 53, y - 2, 2.0), words(66, y, "Opening, numbered; where it closed")]
        y += _ROW
    for shown, dashes, width, text in (
        (holds, _HOLD_DASHES, _HOLD_WIDTH, "Hold, lettered: the part its rate is read from"),
        (limits, _LIMIT_DASHES, _LIMIT_WIDTH, "Limit of the opening pressure"),
    ):
        if shown:
            marks += [line(16, y - 5, 56, y - 5, width, dashes), words(66, y, text)]
            y += _ROW
    return marks, y - _ROW + 12
