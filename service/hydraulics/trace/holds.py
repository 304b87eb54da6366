"""The holds in a trace: stretches under pressure in which nobody pumps, with the rate at which the pressure decays.

A hold lasts at least five seconds, above a twentieth of the trace's highest pressure, between pumping, opening and
relief: its means over short blocks fall by no more than 2 % and rise by no more than 0.2 % a second, beyond noise.

Settling is left out before the rate is read: the first second in any case (a tenth of a short hold), then a tenth of
the hold at a time, at most half of it, while the rate over the next fifth and the rate over the rest differ by more
than 15 % and three of their standard errors (those without regard to correlation). A decay that goes on bending to the
end is no settling but a leak that follows the pressure: there nothing more is left out, and the rate is the mean one.
"""

import math
from dataclasses import dataclass

import numpy as np

from service.hydraulics.trace.cleaning import CleanTrace
from service.hydraulics.trace.openings import Opening
from service.hydraulics.trace.regression import Slope, slope_of
from service.hydraulics.trace.warmth import TemperatureUse, decay_of
from service.metrology.measured_points import Floats

SHORTEST_HOLD_S = 5.0
_LEAST_LEVEL = 0.05
_FASTEST_FALL = 0.02
_FASTEST_RISE = 0.002
_LEAST_BLOCK_S, _LONGEST_BLOCK_S = 0.25, 1.0
_BLOCK_NOISE = 4.5
_FIRST_S, _FIRST_SHARE = 1.0, 0.1
_STEPS = 5
_LEAST_READINGS = 16
_APART_ERRORS, _APART_SHARE = 3.0, 0.15


@dataclass(frozen=True, slots=True)
class Hold:
    """One hold. Rates in bar/min, positive where the pressure falls; the rate is read from `steady_from_s` on."""

    start_s: float
    end_s: float
    steady_from_s: float
    mean_bar: float
    rate_bar_per_min: float
    interval: tuple[float, float]
    freedom: float
    uncorrected_bar_per_min: float
    temperature: TemperatureUse
    bends: bool
    """Whether the decay bends all along, as a leak does that follows the pressure."""

    @property
    def shown_s(self) -> tuple[float, float]:
        """From when to when it is looked at closely: with a twentieth of it on either side."""
        room = (self.end_s - self.start_s) / 20
        return self.start_s - room, self.end_s + room


def holds_in(trace: CleanTrace, openings: tuple[Opening, ...], bar_per_kelvin: float | None = None) -> tuple[Hold, ...]:
    """Every hold in its order; `bar_per_kelvin` is what the shut-in oil gains for each degree, where it is known."""
    found = []
    for start, stop in _quiet_stretches(trace, openings):
        first, bends = _steady_from(trace.t_s[start:stop], trace.pressure_bar[start:stop])
        part = slice(start + first, stop)
        t, p = trace.t_s[part], trace.pressure_bar[part]
        warmth = None if trace.temperature_c is None else trace.temperature_c[part]
        slope, use = decay_of(t, p, warmth, bar_per_kelvin)
        low, high = slope.interval
        found.append(
            Hold(
                start_s=float(trace.t_s[start]),
                end_s=float(trace.t_s[stop - 1]),
                steady_from_s=float(t[0]),
                mean_bar=float(p.mean()),
                rate_bar_per_min=_falling(slope.per_s),
                interval=(_falling(high), _falling(low)),
                freedom=slope.freedom,
                uncorrected_bar_per_min=_falling(slope_of(t, p).per_s),
                temperature=use,
                bends=bends,
            )
        )
    return tuple(found)


def _falling(bar_per_s: float) -> float:
    return -60.0 * bar_per_s + 0.0


def _quiet_stretches(trace: CleanTrace, openings: tuple[Opening, ...]) -> list[tuple[int, int]]:
    """First and one past the last reading of each, without the blocks at its ends that may hold some pumping."""
    t, p = trace.t_s, trace.pressure_bar
    block = _block_s(trace)
    edges = np.unique(np.searchsorted(t, np.arange(t[0], t[-1] + block, block)))
    edges = edges[edges < len(t)]
    if len(edges) < 4:
        return []
    counts = np.diff(edges, append=len(t))
    means = np.add.reduceat(p, edges) / counts
    times = np.add.reduceat(t, edges) / counts
    rates = np.diff(means) / np.diff(times)
    blur = _BLOCK_NOISE * trace.noise_bar * np.sqrt(1 / counts[1:] + 1 / counts[:-1]) / np.diff(times)
    level = np.maximum(means[1:], means[:-1])
    quiet = (rates > -_FASTEST_FALL * level - blur) & (rates < _FASTEST_RISE * level + blur)
    quiet &= (level > _LEAST_LEVEL * trace.full_bar) & (np.diff(times) < 4 * block)
    for one in openings:
        first, last = np.searchsorted(t[edges], (one.t_s, one.t_s + one.drop_s), side="right") - 1
        quiet[max(0, first - 1) : last + 1] = False
    for gap in trace.gaps.tolist():
        place = int(np.searchsorted(edges, gap, side="right")) - 1
        quiet[max(0, place - 1) : place + 2] = False
    turns = np.flatnonzero(np.diff(quiet.astype(np.int8), prepend=0, append=0))
    stretches = []
    for start, stop in zip(turns[::2].tolist(), turns[1::2].tolist(), strict=True):
        first, last = int(edges[start]), int(edges[stop + 1]) if stop + 1 < len(edges) else len(t)
        first, last = _without_pumping(trace, first, last, int(counts[start]))
        if last - first >= _LEAST_READINGS and t[last - 1] - t[first] >= SHORTEST_HOLD_S:
            stretches.append((first, last))
    return stretches


def _block_s(trace: CleanTrace) -> float:
    """So long that the noise of a block's mean hides no pumping."""
    wanted = (_BLOCK_NOISE * trace.noise_bar * math.sqrt(2 * trace.step_s) / (0.01 * trace.full_bar)) ** (2 / 3)
    longest = max(_LONGEST_BLOCK_S, 8 * trace.step_s)
    return float(max(min(wanted, longest), _LEAST_BLOCK_S, 4 * trace.step_s))


def _without_pumping(trace: CleanTrace, first: int, last: int, block: int) -> tuple[int, int]:
    """Without what at either end lies farther off the hold's own line than noise: the end of the pumping, a relief."""
    t, p = trace.t_s, trace.pressure_bar
    if last - first < 6 * block:
        return first + block, max(first + block, last - block)
    inner = slice(first + 2 * block, last - 2 * block)
    slope = slope_of(t[inner], p[inner])
    part = max(1, block // 5)
    allowed = 4 * trace.noise_bar / math.sqrt(part) + 0.002 * slope.level
    while last - part > inner.stop and _off(slope, t[last - part : last], p[last - part : last]) > allowed:
        last -= part
    begin = slope_of(t[first + block : first + 4 * block], p[first + block : first + 4 * block])
    while first + part < inner.start and _off(begin, t[first : first + part], p[first : first + part]) > allowed:
        first += part
    return first, last - part


def _off(slope: Slope, t: Floats, p: Floats) -> float:
    return abs(float(p.mean()) - slope.level - slope.per_s * (float(t.mean()) - slope.middle_s))


def _steady_from(t: Floats, p: Floats) -> tuple[int, bool]:
    """The first reading from which the rate is read, and whether the decay bends to the end."""
    start, end = float(t[0]), float(t[-1])
    always = int(np.searchsorted(t, start + min(_FIRST_S, _FIRST_SHARE * (end - start))))
    for step in range(_STEPS + 1):
        place = max(always, int(np.searchsorted(t, start + step / 10 * (end - start))))
        turn = int(np.searchsorted(t, t[place] + (end - t[place]) / 5))
        if turn - place < _LEAST_READINGS // 2 or len(t) - turn < _LEAST_READINGS // 2:
            return always, False
        early, late = slope_of(t[place:turn], p[place:turn]), slope_of(t[turn:], p[turn:])
        apart = abs(early.per_s - late.per_s)
        together = math.hypot(early.plain_error, late.plain_error)
        if apart <= max(_APART_ERRORS * together, _APART_SHARE * abs(late.per_s)):
            return place, False
    return always, True
