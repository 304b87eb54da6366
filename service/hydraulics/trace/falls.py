"""Sudden falls of the pressure: where the mean of the readings before is well above that of the readings after."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from service.hydraulics.trace.cleaning import CleanTrace
from service.metrology.measured_points import Floats

_LEAST_SHARE = 0.02  # of the full pressure: what is looked at, not yet what counts
_ERRORS = 5.0
_BESIDE_S = 0.03
_LONGEST_BESIDE_S = 0.3
_BETWEEN_S = 0.004
_LONGEST_FALL_S = 1.5
_SMOOTH_S = 0.001
_BEGUN_S = 0.25  # how long before its middle a fall may have begun
_RESTING_S = 0.04
_RESTED = 0.08  # of the fall so far: what it may still go down and yet have come to rest,
_SLOWED = 0.25  # at no more than this share of its pace


@dataclass(frozen=True, slots=True)
class Fall:
    """Places of readings: `top` is near where it began, `end` the first one at rest.

    `begun` and `nearly_down` are where it was a tenth and three quarters down, by means of `smooth` readings.
    """

    top: int
    end: int
    begun: int
    nearly_down: int
    smooth: int


def falls_in(trace: CleanTrace) -> Iterator[Fall]:
    """Every fall that stands out of the noise, in its order; neither end lies beyond the next one or a gap."""
    p, step = trace.pressure_bar, trace.step_s
    beside = _beside(trace)
    between = max(1, round(_BETWEEN_S / step))
    if len(p) < 2 * beside + between + 2:
        return
    # A trace that ends with a fall goes on where its last three readings lie.
    sums = np.concatenate(
        ((0.0,), np.cumsum(p), float(np.median(p[-3:])) * np.arange(1, beside + between + 1) + p.sum())
    )
    means = (sums[beside:] - sums[:-beside]) / beside
    # The mean before place i less that after i + between; places of the first reading after it.
    falls = means[: -beside - between] - means[beside + between :]
    least = max(_LEAST_SHARE * trace.full_bar, _ERRORS * trace.noise_bar * math.sqrt(2 / beside))
    over = falls > least
    for gap in trace.gaps.tolist():
        over[max(0, gap + 1 - 2 * beside - between) : gap + 1] = False
    turns = np.flatnonzero(np.diff(over.astype(np.int8), prepend=0, append=0))
    starts, ends = turns[::2], turns[1::2]
    limits = np.append(starts, len(p))[1:] + beside
    free = 0
    for start, stop, limit in zip(starts.tolist(), ends.tolist(), limits.tolist(), strict=True):
        middle = start + int(np.argmax(falls[start:stop])) + beside
        if middle <= free:
            continue
        fall = _fall(trace, middle, beside, between, free, min(len(p), max(limit, middle + 2)))
        if fall is not None:
            free = fall.end
            yield fall


def _beside(trace: CleanTrace) -> int:
    """Over how many readings the means are taken: enough for the noise, few for the shape."""
    wanted = (8 * trace.noise_bar / (_LEAST_SHARE * 2 * trace.full_bar)) ** 2
    longest = max(3, int(_LONGEST_BESIDE_S / trace.step_s))
    return min(longest, max(3, round(_BESIDE_S / trace.step_s), math.ceil(wanted)))


def _fall(trace: CleanTrace, middle: int, beside: int, between: int, free: int, limit: int) -> Fall | None:
    t, p = trace.t_s, trace.pressure_bar
    wanted = math.ceil((3 * trace.noise_bar / (0.02 * trace.full_bar)) ** 2)
    smooth = max(1, min(15, wanted), round(_SMOOTH_S / trace.step_s))
    first = max(free, middle - max(beside, round(_BEGUN_S / trace.step_s)))
    stop = min(limit, len(p), int(np.searchsorted(t, t[min(middle, len(t) - 1)] + _LONGEST_FALL_S)))
    if stop - first < smooth + 3:
        return None
    shown = _smoothed(p[first:stop], smooth)
    top = int(np.argmax(shown[: min(len(shown), middle - first + between + smooth)]))
    foot = shown[top : top + 2 * (beside + between) + 2]
    steep = top + int(np.flatnonzero(foot <= (foot[0] + foot.min()) / 2)[0])
    resting = min(max(2, round(_RESTING_S / trace.step_s)), max(1, len(shown) - steep - 1))
    after = shown[steep:]
    if len(after) <= resting:
        return None
    coming = np.lib.stride_tricks.sliding_window_view(after, resting + 1).min(axis=1)
    here = after[: len(coming)]
    margin = 2 * trace.noise_bar / math.sqrt(smooth)
    down = np.maximum(shown[top] - here, 0)
    usual = down / np.arange(steep - top + 1, steep - top + 1 + len(here)) * resting  # at the pace of the fall so far
    rested = np.flatnonzero(here - coming <= np.minimum(_RESTED * down, _SLOWED * usual) + margin)
    rested = rested[here[rested] < shown[top] - 0.5 * (shown[top] - float(here.min()))]
    end = steep + (int(rested[0]) if len(rested) else int(np.argmin(after)))
    if end <= top:
        return None
    height = shown[top] - shown[end]
    down = top + int(np.argmax(shown[top : end + 1] <= shown[top] - 0.75 * height))
    begun = top + 1 + int(np.flatnonzero(shown[top : down + 1] > shown[top] - 0.1 * height)[-1])
    return Fall(first + top, first + end, first + begun, first + down, smooth)


def _smoothed(p: Floats, width: int) -> Floats:
    """Moving mean centred on each reading, of fewer at the ends."""
    if width < 2:
        return p
    sums = np.concatenate(((0.0,), np.cumsum(p)))
    places = np.arange(len(p))
    low, high = np.maximum(places - width // 2, 0), np.minimum(places + width // 2 + 1, len(p))
    return np.asarray((sums[high] - sums[low]) / (high - low), dtype=np.float64)
