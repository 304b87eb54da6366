"""What the temperature does to a shut-in pressure, taken off its decay where that can be known.

With a coefficient given (bar for each degree), it is applied. Without one, the temperature stands beside the time in
the regression, so its share is found from the trace itself, and the interval grows by what that costs. Where the
temperature only follows the time, the two cannot be told apart: nothing is taken off and the answer says so.
"""

from enum import StrEnum

import numpy as np

from service.hydraulics.trace.regression import Slope, slope_of
from service.metrology.measured_points import Floats

_LEAST_CHANGE_K = 0.05
_LIKE_TIME = 0.95


class TemperatureUse(StrEnum):
    """What was done about the temperature of a hold."""

    NONE = "no temperature recorded"
    STEADY = "the temperature stayed the same"
    GIVEN = "corrected by the coefficient given"
    FOUND = "corrected by the regression on the temperature"
    INSEPARABLE = "not corrected: the temperature only follows the time"


def decay_of(
    t_s: Floats, pressure_bar: Floats, warmth_c: Floats | None, bar_per_kelvin: float | None
) -> tuple[Slope, TemperatureUse]:
    """The slope of the pressure at constant temperature, bar/s, and what was done for it."""
    if warmth_c is None:
        return slope_of(t_s, pressure_bar), TemperatureUse.NONE
    warmth = _without_holes(t_s, warmth_c)
    if warmth is None:
        return slope_of(t_s, pressure_bar), TemperatureUse.NONE
    if bar_per_kelvin is not None:
        return slope_of(t_s, pressure_bar - bar_per_kelvin * (warmth - warmth[0])), TemperatureUse.GIVEN
    course = slope_of(t_s, warmth)
    change = float(np.percentile(warmth, 97.5) - np.percentile(warmth, 2.5))
    if change < _LEAST_CHANGE_K:
        return slope_of(t_s, pressure_bar), TemperatureUse.STEADY
    straight = abs(course.per_s) * float(np.std(t_s)) / max(float(np.std(warmth)), 1e-12)
    if straight > _LIKE_TIME:
        return slope_of(t_s, pressure_bar), TemperatureUse.INSEPARABLE
    return slope_of(t_s, pressure_bar, warmth), TemperatureUse.FOUND


def _without_holes(t_s: Floats, warmth_c: Floats) -> Floats | None:
    read = np.isfinite(warmth_c)
    if read.all():
        return warmth_c
    if int(read.sum()) < len(read) / 2:
        return None
    return np.asarray(np.interp(t_s, t_s[read], warmth_c[read]), dtype=np.float64)
