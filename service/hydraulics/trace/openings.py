"""The openings in a trace: where a rising pressure drops at once, how high it stood, and where it closed again.

An opening is a fall of at least 3 % of the pressure (and six standard errors) out of a rise of at least half a percent
a second, that comes to rest above three tenths of where it began: what falls farther was relieved by hand. Falls
within a fifth of a second after a closing are the chatter of the same stroke and are not counted again (all of this
common practice, no source).

The opening pressure is not the highest reading, which noise makes too high, but where the line of the rise ends. At
what moment it ends is read from the fall.
"""

from dataclasses import dataclass

import numpy as np

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.trace.cleaning import CleanTrace
from service.hydraulics.trace.falls import Fall, falls_in
from service.hydraulics.trace.lines import LEAST_READINGS, Line, line_after, line_before, line_through
from service.metrology.measured_points import Floats

MOST_OPENINGS = 500
_LEAST_DROP = 0.03
_STANDARD_ERRORS = 6.0
_LEAST_RISE_PER_S = 0.005
_LOOK_BACK_S = 2.0
_LEAST_RISE = 0.01
_RELIEVED = 0.3
_CHATTER_S = 0.2
_LONGEST_FLANK = 8_000
_LONGEST_FLANK_S = 3.0
_AFTER_S = 0.5
_PERHAPS_FALLING = 3
_LATER = (0.05, 0.1, 0.15, 0.2)  # of a fall's time
_EARLIER = 0.5  # of a fall's time, that it may have begun before its highest mean
_TOLERANCE = 3.5  # standard deviations a reading may lie under the line of the rise and still belong to it


@dataclass(frozen=True, slots=True)
class Opening:
    """One opening, gauge pressures in bar: when it opened, at what, for how long it fell, where it closed."""

    t_s: float
    opening_bar: float
    closing_bar: float
    drop_s: float
    standard_uncertainty_bar: float
    """Of the opening pressure, from the scatter about the line of the rise; the gauge's own comes on top."""

    @property
    def shown_s(self) -> tuple[float, float]:
        """From when to when it is looked at closely: the end of the rise, the fall, what came after."""
        return self.t_s - 0.5, self.t_s + self.drop_s + 0.5

    @property
    def drop_bar(self) -> float:
        """Opening less closing pressure."""
        return self.opening_bar - self.closing_bar


def openings_in(trace: CleanTrace) -> tuple[tuple[Opening, ...], int]:
    """Every opening in its order, and how many falls were left out as chatter of the stroke before.

    Raises HydraulicsError with code `trace-too-many-openings`.
    """
    found: list[Opening] = []
    chatter, since, closed = 0, 0, -np.inf
    for fall in falls_in(trace):
        opening = _opening(trace, fall, since)
        if opening is None:
            continue
        since = fall.end
        of_that_stroke = opening.t_s - closed < _CHATTER_S
        closed = opening.t_s + opening.drop_s
        if of_that_stroke:
            chatter += 1
            continue
        found.append(opening)
        if len(found) > MOST_OPENINGS:
            raise HydraulicsError(
                "trace-too-many-openings",
                f"The trace falls more than {MOST_OPENINGS} times: send the part with the strokes that count.",
                "file",
            )
    return tuple(found), chatter


def _opening(trace: CleanTrace, fall: Fall, since: int) -> Opening | None:
    t = trace.t_s
    low = max(since, fall.top - _LONGEST_FLANK, int(np.searchsorted(t, t[fall.top] - _LONGEST_FLANK_S)))
    if fall.top - low < LEAST_READINGS:
        return None
    rise, last, t_open = _rise(trace, low, fall)
    opening = rise.at(t_open)
    t_close, closing = _rest(trace, fall)
    error = rise.standard_error(t_open)
    drop = opening - closing
    deep = drop > max(_LEAST_DROP * opening, _STANDARD_ERRORS * error)
    if not deep or closing < _RELIEVED * opening or not _was_rising(trace, rise, opening, last, since):
        return None
    return Opening(t_open, opening, closing, max(0.0, t_close - t_open), error)


def _rise(trace: CleanTrace, low: int, fall: Fall) -> tuple[Line, int, float]:
    """The line of the rise, its last reading, and when it ended."""
    t, p = trace.t_s, trace.pressure_bar
    last = fall.top
    rise = _line_to(t, p, low, last)
    ended = float(t[last])
    for _ in range(4):
        meeting = _meets_the_fall(trace, rise, fall)
        if meeting is None:
            place = _nearer_to_the_rise(trace, rise, fall)
        else:
            place = int(np.searchsorted(t, meeting, side="right")) - 1
        tolerance = _TOLERANCE * max(rise.deviation_bar, trace.noise_bar / 2)
        while place >= fall.begun and p[place] < rise.at(float(t[place])) - tolerance:  # it lies on the fall already
            place -= 1
        place = max(low + LEAST_READINGS, place)
        ended = float(t[place] + t[place + 1]) / 2 if meeting is None else meeting
        if place == last:
            break
        last = place
        rise = _line_to(t, p, low, last)
    return rise, last, ended


def _rest(trace: CleanTrace, fall: Fall) -> tuple[float, float]:
    """When the pressure had come to rest and at what: there the line of what follows begins.

    What is left of the fall at its end would bend that line: a beginning up to a fifth of the fall later is the better
    one where a line from it holds over twice as long.
    """
    t, p = trace.t_s, trace.pressure_bar
    stop = min(len(t), int(np.searchsorted(t, t[fall.end] + _AFTER_S)) + LEAST_READINGS, fall.end + _LONGEST_FLANK)
    if stop - fall.end <= 2:
        return float(t[fall.end]), float(p[fall.end])
    start, line = fall.end, line_after(t[fall.end : stop], p[fall.end : stop])
    for part in _LATER:
        later = fall.end + max(1, round(part * (fall.end - fall.begun)))
        if stop - later > LEAST_READINGS:
            other = line_after(t[later:stop], p[later:stop])
            if other.readings > 2 * line.readings:
                start, line = later, other
    return float(t[start]), line.at(float(t[start]))


def _line_to(t: Floats, p: Floats, low: int, last: int) -> Line:
    """The line of the rise up to a reading. The last ones may lie on the fall by less than the noise tells: without up
    to three of them, a line that holds over twice as long is the better one."""
    line = line_before(t[low : last + 1], p[low : last + 1])
    for end in range(last, max(low + LEAST_READINGS, last - _PERHAPS_FALLING), -1):
        shorter = line_before(t[low:end], p[low:end])
        if shorter.readings > 2 * line.readings:
            line = shorter
    return line


def _meets_the_fall(trace: CleanTrace, rise: Line, fall: Fall) -> float | None:
    """When the line of the rise meets that of the fall; None where the fall is as fast as the readings."""
    t, p = trace.t_s, trace.pressure_bar
    if fall.nearly_down - fall.begun < 3 + fall.smooth // 2:
        return None
    edge = line_through(t[fall.begun : fall.nearly_down], p[fall.begun : fall.nearly_down])
    if edge.slope_bar_per_s >= min(0.0, rise.slope_bar_per_s):
        return None
    apart = rise.at(edge.middle_s) - edge.at_middle_bar
    meeting = edge.middle_s + apart / (edge.slope_bar_per_s - rise.slope_bar_per_s)
    return float(np.clip(meeting, t[fall.top] - _EARLIER * (t[fall.end] - t[fall.top]), t[fall.nearly_down]))


def _nearer_to_the_rise(trace: CleanTrace, rise: Line, fall: Fall) -> int:
    """The last reading before the first one that is nearer to the foot of the fall than to the line of the rise."""
    t, p = trace.t_s, trace.pressure_bar
    foot = float(np.median(p[fall.end : fall.end + 3]))
    near = slice(fall.begun, fall.end + 1)
    lines = rise.at_middle_bar + rise.slope_bar_per_s * (t[near] - rise.middle_s)
    nearer = np.flatnonzero(p[near] < (lines + foot) / 2)
    return fall.begun + (int(nearer[0]) if len(nearer) else 0) - 1


def _was_rising(trace: CleanTrace, rise: Line, opening: float, last: int, since: int) -> bool:
    if rise.slope_bar_per_s > _LEAST_RISE_PER_S * opening:
        return True
    start = max(since, int(np.searchsorted(trace.t_s, trace.t_s[last] - _LOOK_BACK_S)))
    stop = int(np.searchsorted(trace.t_s, trace.t_s[last] - 0.75 * _LOOK_BACK_S))
    return stop > start and opening - float(np.median(trace.pressure_bar[start:stop])) > _LEAST_RISE * opening
