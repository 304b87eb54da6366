"""The slope of readings over time with an interval that does not trust readings which repeat their neighbours.

Readings taken fast are not independent: an interval from all of them would be far too narrow. The rule here:

1. The readings are averaged in up to 200 parts of equal count, in their order.
2. The slope is that of least squares through the averages, further columns (a temperature) beside it.
3. With r, the correlation of each residual with the next one, above zero, n averages count as n·(1 − r)/(1 + r), three
   degrees of freedom at the least: the rule for a first-order process (from memory: von Storch and Zwiers, Statistical
   Analysis in Climate Research, 1999, equivalent sample size).
4. The standard error grows with the degrees of freedom that are lost, and the interval is Student's for those left.

Up to 200 readings with r ≤ 0 this is the ordinary regression.
"""

import math
from dataclasses import dataclass

import numpy as np

from service.metrology.measured_points import Floats

MOST_PARTS = 200
CONFIDENCE = 0.95
_LEAST_FREEDOM = 3.0


@dataclass(frozen=True, slots=True)
class Slope:
    """A slope per second with its standard error and degrees of freedom, and the level in the middle of the time."""

    per_s: float
    standard_error: float
    freedom: float
    middle_s: float
    level: float
    correlation: float
    """Of each residual with the next."""
    plain_error: float
    """The standard error as it would be without any correlation."""
    others: tuple[float, ...] = ()
    """The coefficients of the further columns."""

    @property
    def interval(self) -> tuple[float, float]:
        """The 95 % confidence interval of the slope, per second."""
        half = student(self.freedom) * self.standard_error
        return self.per_s - half, self.per_s + half


def student(freedom: float) -> float:
    """The factor of a two-sided 95 % interval for that many degrees of freedom (JCGM 100, table G.2)."""
    from scipy.special import stdtrit

    return float(stdtrit(freedom, (1 + CONFIDENCE) / 2))


def slope_of(t_s: Floats, values: Floats, *others: Floats) -> Slope:
    """The slope of values over time by the rule above; at least eight readings, times not all equal."""
    t, y, *columns = _averaged(t_s, values, *others)
    middle, level = float(t.mean()), float(y.mean())
    design = np.column_stack([t - middle, *(column - column.mean() for column in columns)])
    scales = np.sqrt((design**2).sum(axis=0))
    scales = np.where(scales > 0, scales, 1.0)
    solved, *_ = np.linalg.lstsq(design / scales, y - level, rcond=None)
    rest = y - level - design / scales @ solved
    ordinary = len(t) - 1 - design.shape[1]
    squares = float(rest @ rest)
    inverse = np.linalg.pinv((design / scales).T @ (design / scales))
    error = math.sqrt(squares / ordinary * float(inverse[0, 0])) / float(scales[0])
    correlation = float(rest[1:] @ rest[:-1]) / squares if squares > 1e-18 * float(y @ y) else 0.0
    counted = len(t) * (1 - correlation) / (1 + correlation) if correlation > 0 else float(len(t))
    freedom = max(_LEAST_FREEDOM, counted - 1 - design.shape[1])
    widened = error * math.sqrt(max(1.0, ordinary / freedom))
    found = solved / scales
    return Slope(float(found[0]), widened, freedom, middle, level, correlation, error, tuple(found[1:].tolist()))


def _averaged(*columns: Floats) -> list[Floats]:
    count = len(columns[0])
    each = -(-count // MOST_PARTS)
    if each == 1:
        return list(columns)
    parts = count // each
    spare = count - parts * each  # fewer than one part: left out at the beginning
    return [column[spare:].reshape(parts, each).mean(axis=1) for column in columns]
