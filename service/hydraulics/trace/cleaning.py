"""What no gauge has seen is set aside before anything is read off: spikes, drop-outs, a sensor at the end of its range.

* A spike is one to three readings that jump away from both neighbours to the same side, by more than eight standard
  deviations of the noise and four times what the pressure moves otherwise thereabouts, and jump back.
* A drop-out is a run near zero that the pressure enters and leaves within two readings from and to one level: no pump
  is so fast.
* A sensor at its end shows one highest value again and again while it scatters elsewhere. That is refused, since what
  lay above it is not known.
"""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.trace.noise import count_bar, full_bar, noise_bar
from service.hydraulics.trace.reading import LEAST_ROWS, Trace
from service.metrology.measured_points import Floats

LEAST_PRESSURE_BAR = 5.0
_MOST_SPIKE = 3
_DEVIATIONS = 8.0
_TIMES_USUAL = 4.0
_LEAST_SPIKE = 0.01  # of the highest pressure
_LEAST_FLAT = 6
_FLAT_SHARE = 0.5  # of the readings thereabouts
_NEAR_ZERO = 0.02
_LEVEL_KEPT = 0.15
_GAP_STEPS = 20.0
_LEAST_GAP_S = 0.5

Flags = npt.NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class CleanTrace:
    """Readings (n,) that remain, their noise, and how many were set aside; `gaps` are places (k,) before one."""

    t_s: Floats
    pressure_bar: Floats
    temperature_c: Floats | None
    noise_bar: float
    full_bar: float
    step_s: float
    spikes: int
    drop_outs: int
    gaps: npt.NDArray[np.int64]


def cleaned(trace: Trace) -> CleanTrace:
    """Set spikes and drop-outs aside.

    Raises HydraulicsError, field `file`, with code `trace-no-pressure-in-it` or `trace-clipped`.
    """
    t, p = trace.t_s, trace.pressure_bar
    full = full_bar(p)
    if full < LEAST_PRESSURE_BAR:
        raise HydraulicsError(
            "trace-no-pressure-in-it",
            f"The pressure stays under {LEAST_PRESSURE_BAR:g} bar all the time: choose another column, or "
            "the right unit.",
            "file",
        )
    upper = p > 0.5 * full
    noise = noise_bar(t, p)
    _refuse_clipped(t, p, noise)
    if int(upper.sum()) > LEAST_ROWS:  # noise often grows with the pressure
        noise = max(noise, noise_bar(t[upper], p[upper]))
    out = _drop_outs(p, full)
    drop_outs = int(out.sum())
    spikes = _spikes(p, noise, count_bar(p)) & ~out
    keep = ~(out | spikes)
    if int(keep.sum()) < LEAST_ROWS:
        raise HydraulicsError("trace-too-few-rows", "Too few readings remain without spikes and drop-outs.", "file")
    if not keep.all():
        t, p = t[keep], p[keep]
    warmth = trace.temperature_c if trace.temperature_c is None or keep.all() else trace.temperature_c[keep]
    step = trace.step_s
    gaps = np.flatnonzero(np.diff(t) > max(_GAP_STEPS * step, _LEAST_GAP_S))
    return CleanTrace(t, p, warmth, noise, full, step, int(spikes.sum()), drop_outs, gaps)


def _spikes(pressure: Floats, noise: float, count: float) -> Flags:
    moves = np.abs(np.diff(pressure))
    least = max(_DEVIATIONS * max(noise, count), _LEAST_SPIKE * float(pressure.max()))
    far = np.flatnonzero(moves > least)  # only there can a spike begin or end
    flags = np.zeros(len(pressure), dtype=np.bool_)
    if len(far) > max(1_000, len(pressure) // 40):  # the trace jumps all over: nothing stands out
        return flags
    taken = set(far.tolist())
    for place in far.tolist():
        for length in range(1, _MOST_SPIKE + 1):
            end = place + length  # the move out of the spike
            if end in taken and end + 1 < len(pressure) and _stands_out(pressure, moves, place, end, least):
                flags[place + 1 : end + 1] = True
                break
    return flags


def _stands_out(pressure: Floats, moves: Floats, place: int, end: int, least: float) -> bool:
    inside, before, after = pressure[place + 1 : end + 1], pressure[place], pressure[end + 1]
    up = float(inside.min() - max(before, after))
    down = float(min(before, after) - inside.max())
    away = max(up, down)
    near = np.concatenate((moves[max(0, place - 10) : place], moves[end + 1 : end + 11]))
    usual = float(np.median(near)) if len(near) else 0.0
    return away > max(least, _TIMES_USUAL * usual) and abs(float(after - before)) < away


def _drop_outs(pressure: Floats, full: float) -> Flags:
    low = pressure < _NEAR_ZERO * full
    flags = np.zeros(len(pressure), dtype=np.bool_)
    turns = np.diff(low.astype(np.int8), prepend=0, append=0)
    for start, end in zip(np.flatnonzero(turns == 1).tolist(), np.flatnonzero(turns == -1).tolist(), strict=True):
        if start < 2 or end > len(pressure) - 2:
            continue
        # One reading on either side may stand on the edge itself.
        before, after = float(pressure[max(0, start - 2)]), float(pressure[min(end + 1, len(pressure) - 1)])
        if min(before, after) > 0.1 * full and abs(before - after) < _LEVEL_KEPT * max(before, after):
            flags[start:end] = True
            for edge, level in ((start - 1, before), (end, after)):
                flags[edge] = pressure[edge] < (1 - _LEVEL_KEPT) * level
    return flags


def _refuse_clipped(t: Floats, pressure: Floats, noise: float) -> None:
    count, highest = count_bar(pressure), float(pressure.max())
    at_top = np.flatnonzero(pressure == highest)
    runs = np.split(at_top, np.flatnonzero(np.diff(at_top) > 1) + 1)
    flat = [run for run in runs if len(run) >= _LEAST_FLAT]
    if noise > count / 2:
        span = int(at_top[-1] - at_top[0]) + 1
        clipped = bool(flat) or (len(at_top) >= 5 * _LEAST_FLAT and len(at_top) > _FLAT_SHARE * span)
    else:  # what moves by whole counts stands still now and then, but not twice at one height between steep flanks
        clipped = sum(_between_flanks(pressure, int(run[0]), int(run[-1]), count) for run in flat) > 1
    if clipped:
        first = flat[0][0] if flat else at_top[0]
        raise HydraulicsError(
            "trace-clipped",
            f"The sensor stands at its end, {highest:.5g} bar, from {t[first]:.6g} s on: what lay above is not "
            "known, so record again with a sensor of a wider range.",
            "file",
        )


def _between_flanks(pressure: Floats, first: int, last: int, count: float) -> bool:
    length = last - first + 1
    before, after = pressure[max(0, first - length)], pressure[min(len(pressure) - 1, last + length)]
    return bool(pressure[first] - max(before, after) > 3 * count)
