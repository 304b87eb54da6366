"""The two concentric circles nearest to each other that have every point between them: the minimum zone."""

import numpy as np

from service.metrology.circle_centres import bisector_crossings, circumcentres, distance_table, distances
from service.metrology.errors import MetrologyError
from service.metrology.measured_points import Floats

_ROUNDING = 16 * np.finfo(np.float64).eps
_SECTORS = 6


def minimum_zone_centre(xy: Floats, start: Floats) -> Floats:
    """Centre (2,) of the ring of least width about scaled points (n, 2): the least of all, not one near the start.

    ISO 12181-1, minimum zone reference circles (clause 3.3, number from memory). A ring of least width touches three
    points and one, one and three, or two and two (outside and inside), or it is a straight strip: its centre is
    a vertex of the nearest-point or the farthest-point Voronoi diagram or a crossing of an edge of one with an edge
    of the other. For a few of the points all such centres are listed and the narrowest ring is taken. A point of all
    outside that ring joins the few. The narrowest ring about some of the points is never wider than the one about
    all, so when it has all of them within, nothing narrower exists. `start`, a centre near by, only speeds the search.

    Raises MetrologyError with code `points-nearly-straight` when a straight strip is as narrow as any ring.
    """
    near = xy - start
    few = _first_few(near)
    rings = _Rings(float(np.ptp(distances(np.zeros(2), near))))
    for index in few:
        rings.add(near[index])
    while True:
        joining = _across_strip(rings, near, few)
        if not joining:
            centre, width = rings.narrowest()
            apart = distances(centre, near)
            farthest, nearest = int(np.argmax(apart)), int(np.argmin(apart))
            reached = float(apart[farthest] - apart[nearest])
            rings.bound = min(rings.bound, reached)
            joining = [index for index in (farthest, nearest) if index not in few]
            if reached <= width + _ROUNDING * apart[farthest] or not joining:
                return np.asarray(centre + start, dtype=np.float64)
        for index in joining:
            few.append(index)
            rings.add(near[index])


class _Rings:
    """Centres of rings that touch four of some points, with the farthest and nearest of these points from each.

    A ring only widens when points join, so whatever is wider than `bound`, a width that is known to hold all
    points, is dropped for good.
    """

    def __init__(self, bound: float) -> None:
        self.bound = bound
        self.points = np.empty((0, 2))
        # Zero, the start, is a centre like any other: with it the list is never empty.
        self._centres = np.zeros((1, 2))
        self._farthest = np.full(1, -np.inf)
        self._nearest = np.full(1, np.inf)

    def add(self, point: Floats) -> None:
        """Let the new point widen the rings known, and list those that touch it."""
        apart = distances(point, self._centres)
        self._farthest = np.maximum(self._farthest, apart)
        self._nearest = np.minimum(self._nearest, apart)
        centres = self._touching(point)
        self.points = np.concatenate((self.points, point[None, :]))
        table = distance_table(centres, self.points)
        self._centres = np.concatenate((self._centres, centres))
        self._farthest = np.concatenate((self._farthest, table.max(axis=1)))
        self._nearest = np.concatenate((self._nearest, table.min(axis=1)))
        kept = self._farthest - self._nearest <= self._allowed(self._farthest)
        kept[0] = True
        self._centres, self._farthest, self._nearest = self._centres[kept], self._farthest[kept], self._nearest[kept]

    def narrowest(self) -> tuple[Floats, float]:
        """Centre and width of the narrowest ring about the points so far."""
        widths = self._farthest - self._nearest
        best = int(np.argmin(widths))
        return self._centres[best], float(widths[best])

    def _touching(self, point: Floats) -> Floats:
        count = len(self.points)
        first, second = np.triu_indices(count, 1)
        threes = circumcentres(self.points[first], self.points[second], point[None, :])
        third = np.repeat(np.arange(count), len(first))
        first, second = np.tile(first, count), np.tile(second, count)
        apart = (third != first) & (third != second)
        first, second, third = first[apart], second[apart], third[apart]
        pairs = bisector_crossings(point[None, :], self.points[third], self.points[first], self.points[second])
        finite = np.isfinite(pairs).all(axis=1)
        pairs, first = pairs[finite], first[finite]
        one, other = distances(point, pairs), np.hypot(*(pairs - self.points[first]).T)
        pairs = pairs[np.abs(one - other) <= self._allowed(one)]
        return np.concatenate((threes[np.isfinite(threes).all(axis=1)], pairs))

    def _allowed(self, farthest: Floats) -> Floats:
        return self.bound * (1 + 1e-9) + _ROUNDING * farthest


def _across_strip(rings: _Rings, near: Floats, few: list[int]) -> list[int]:
    """The points of all that widen the narrowest straight strip about the few, if it is narrower than any ring.

    A strip is a ring with its centre at infinity. Strips only widen too: one wider than the bound is done with.
    """
    first, second = np.triu_indices(len(rings.points), 1)
    along = rings.points[second] - rings.points[first]
    length = np.hypot(along[:, 0], along[:, 1])
    along = along[length > 0] / length[length > 0, None]
    across = np.column_stack((-along[:, 1], along[:, 0]))
    widths = np.ptp(across @ rings.points.T, axis=1)
    best = int(np.argmin(widths))
    if widths[best] > rings.bound or widths[best] > rings.narrowest()[1]:
        return []
    level = near @ across[best]
    joining = [index for index in (int(np.argmax(level)), int(np.argmin(level))) if index not in few]
    if not joining:
        raise MetrologyError(
            "points-nearly-straight",
            "A straight strip holds the points as closely as any two circles: measure more of the section.",
            "points",
        )
    return joining


def _first_few(near: Floats) -> list[int]:
    """The outermost and innermost point of each sector, and the outermost along x and y."""
    apart = distances(np.zeros(2), near)
    sectors = np.floor((np.arctan2(near[:, 1], near[:, 0]) / (2 * np.pi) + 0.5) * _SECTORS).astype(np.int64)
    chosen = {int(np.argmax(apart)), int(np.argmin(apart))}
    for sector in range(_SECTORS):
        members = np.flatnonzero(sectors == sector)
        if len(members):
            chosen |= {int(members[np.argmax(apart[members])]), int(members[np.argmin(apart[members])])}
    for column in near.T:
        chosen |= {int(np.argmax(column)), int(np.argmin(column))}
    return sorted(chosen)
