"""The slope of a line through scattered points that a few wild ones do not move: Theil and Sen, with its interval."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from statistics import NormalDist, median

from service.hydraulics.errors import HydraulicsError

Point = tuple[Decimal, Decimal]


@dataclass(frozen=True, slots=True)
class RobustSlope:
    """The median slope and the two slopes that hold the true one with the confidence asked for."""

    slope: Decimal
    lower: Decimal
    upper: Decimal


def theil_sen(points: Sequence[Point], confidence: Decimal = Decimal("0.95")) -> RobustSlope:
    """The median of the slopes between every two points whose x differ (Theil 1950), and its interval (Sen 1968).

    The interval counts slopes in order of size: as many to each side of the middle as Kendall's score of so many
    points strays by chance at that confidence, points with equal x or equal y counted as ties (Sen 1968, section 6).
    A tenth of the points may be wild without moving the slope much, and up to 29 % without spoiling it.
    Raises HydraulicsError with code `line-too-few` where all x are equal or there are fewer than two points.
    """
    slopes = sorted(
        (y_after - y) / (x_after - x)
        for place, (x, y) in enumerate(points)
        for x_after, y_after in points[place + 1 :]
        if x_after != x
    )
    if not slopes:
        raise HydraulicsError("line-too-few", "A line needs two points with different x.", "points")
    ties = _score_variance([len(points)]) - sum(
        _score_variance(Counter(values).values()) for values in zip(*points, strict=True)
    )
    strays = NormalDist().inv_cdf((1 + float(confidence)) / 2) * (max(ties, 0) / 18) ** 0.5
    lowest = max(round((len(slopes) - strays) / 2) - 1, 0)
    highest = min(round((len(slopes) + strays) / 2), len(slopes) - 1)
    return RobustSlope(median(slopes), slopes[lowest], slopes[highest])


def _score_variance(counts: Iterable[int]) -> int:
    """Eighteen times the variance that so many untied points give Kendall's score."""
    return sum(count * (count - 1) * (2 * count + 5) for count in counts)
