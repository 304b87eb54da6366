"""The scales of a trace's plot, and the trace thinned so that two million readings draw as small as a thousand."""

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from service.metrology.measured_points import Floats

LEFT, RIGHT, TOP, BOTTOM = 60.0, 574.0, 26.0, 330.0
"""Where the plot's own field lies in the drawing."""
_COLUMNS = 514  # of the field, two places in each
_ROOM = 0.06  # of the pressures shown, above and below them


@dataclass(frozen=True, slots=True)
class TraceScale:
    """Times from `start_s` to `end_s` and pressures from `low_bar` to `high_bar` fill the field."""

    start_s: float
    end_s: float
    low_bar: float
    high_bar: float

    def x(self, t_s: float) -> float:
        """Where a time lies in the drawing."""
        return LEFT + (RIGHT - LEFT) * (t_s - self.start_s) / (self.end_s - self.start_s)

    def y(self, bar: float) -> float:
        """Where a pressure lies in the drawing."""
        return BOTTOM - (BOTTOM - TOP) * (bar - self.low_bar) / (self.high_bar - self.low_bar)

    def shows(self, t_s: float) -> bool:
        """Whether a time lies in the window."""
        return self.start_s <= t_s <= self.end_s

    @property
    def times(self) -> tuple[float, ...]:
        """Times at the marks of the axis."""
        return marks(self.start_s, self.end_s, 7)

    @property
    def pressures(self) -> tuple[float, ...]:
        """Pressures at the marks of the axis."""
        return marks(self.low_bar, self.high_bar, 6)


def scale_of(t_s: Floats, bar: Floats, limits_bar: tuple[float, ...], start_s: float, end_s: float) -> TraceScale:
    """A scale for the readings of a window, with room for the limits that lie near them."""
    first, last = np.searchsorted(t_s, start_s), np.searchsorted(t_s, end_s, side="right")
    # A window between two readings shows the line from one to the other.
    shown = bar[first:last] if last > first else bar[max(0, first - 1) : last + 1]
    low, high = float(shown.min()), float(shown.max())
    near = [limit for limit in limits_bar if low - (high - low) <= limit <= high + (high - low)]
    low, high = min([low, *near]), max([high, *near])
    room = max((high - low) * _ROOM, 1e-3 * max(abs(high), 1.0))
    return TraceScale(start_s, end_s, 0.0 if 0 <= low < 0.25 * high else low - room, high + room)


def marks(low: float, high: float, most: int) -> tuple[float, ...]:
    """Round numbers between two: steps of 1, 2 or 5 of a power of ten, at most so many."""
    rough = (high - low) / most
    power = 10.0 ** math.floor(math.log10(rough))
    step = next(factor * power for factor in (1, 2, 5, 10) if factor * power >= rough * 0.999)
    first = math.ceil(low / step - 1e-9)
    return tuple(number * step for number in range(first, math.floor(high / step + 1e-9) + 1))


def written(number: float, step: float) -> str:
    """A number with as many decimals as its axis needs."""
    return f"{number:.{max(0, -math.floor(math.log10(step) + 1e-9))}f}".replace("-0", "0" if number == 0 else "-0")


@dataclass(frozen=True, slots=True)
class DrawnLine:
    """The line of a window as places in the drawing: runs of `readings`, and where it enters and leaves the window.

    The `ends` lead from the border to the first reading and from the last one on: nothing was read at the border.
    """

    readings: list[list[tuple[float, float]]]
    ends: list[list[tuple[float, float]]]


def drawn_line(t_s: Floats, bar: Floats, gaps: tuple[int, ...], scale: TraceScale) -> DrawnLine:
    """Of each column of the window the lowest and the highest reading, so no peak is lost; more than two stay two.

    A gap (the place of the reading before it) ends a run.
    """
    first = int(np.searchsorted(t_s, scale.start_s))
    last = int(np.searchsorted(t_s, scale.end_s, side="right"))
    edges = [first, *(gap + 1 for gap in gaps if first < gap + 1 < last), last]
    readings = []
    for start, stop in pairwise(edges):
        places = start + np.array(_kept(t_s[start:stop], bar[start:stop], scale), dtype=np.int64)
        pairs = zip(t_s[places].tolist(), bar[places].tolist(), strict=True)
        readings.append([(scale.x(t), min(max(scale.y(p), TOP), BOTTOM)) for t, p in pairs])
    crossing = {at for at in (first - 1, last - 1) if 0 <= at < len(t_s) - 1 and at not in gaps}
    ends = [_inside(t_s[at : at + 2].tolist(), bar[at : at + 2].tolist(), scale) for at in sorted(crossing)]
    return DrawnLine([run for run in readings if run], ends)


def _inside(times: list[float], bars: list[float], scale: TraceScale) -> list[tuple[float, float]]:
    """The line from one reading to the next as far as it lies in the window."""
    (start, end), (low, high) = times, bars
    shown = max(start, scale.start_s), min(end, scale.end_s)
    pressures = [low + (high - low) * (at - start) / (end - start) for at in shown]
    return [(scale.x(t), min(max(scale.y(p), TOP), BOTTOM)) for t, p in zip(shown, pressures, strict=True)]


def _kept(t_s: Floats, bar: Floats, scale: TraceScale) -> list[int]:
    if len(t_s) <= 2 * _COLUMNS:
        return list(range(len(t_s)))
    edges = np.searchsorted(t_s, np.linspace(scale.start_s, scale.end_s, _COLUMNS + 1))
    edges[0], edges[-1] = 0, len(t_s)
    kept: list[int] = []
    for start, stop in pairwise(edges.tolist()):
        if stop > start:
            piece = bar[start:stop]
            kept += sorted({start + int(piece.argmin()), start + int(piece.argmax())})
    return kept
