"""The largest circle within the hole that the points bound: the maximum inscribed reference circle."""

import numpy as np

from service.metrology.circle_centres import circumcentres, distance_table, distances
from service.metrology.errors import MetrologyError
from service.metrology.measured_points import Floats

_ROUNDING = 32 * np.finfo(np.float64).eps


def inscribed_centre(xy: Floats, inside: Floats) -> Floats:
    """Centre (2,) of the largest circle that has the place `inside` (2,) within it and none of the points (n, 2).

    ISO 12181-1, maximum inscribed reference circle (clause 3.3, number from memory). A plane of points has many
    empty circles and, open to one side, unbounded ones; the hole meant is the one around `inside`, the centre
    of the least-squares circle. Exact: a circle empty of some of the points and around `inside` has its centre
    in a convex cell, where the largest is at a centre of three points (Voronoi vertices), listed in full. A point
    of all that is still within joins the few. A largest circle of the few that is empty of all is the largest of all.
    Of equally large circles one is given: only its radius is unique.

    Raises MetrologyError with code `not-surrounded` when the points leave one side open.
    """
    near = xy - inside
    few = _surrounding(near)
    corners = _Corners(near[few])
    while True:
        centre, radius, held_by_place = corners.largest()
        apart = distances(centre, near)
        within = int(np.argmin(apart))
        if apart[within] >= radius * (1 - _ROUNDING) or within in few:
            if held_by_place:
                raise _not_surrounded()
            return np.asarray(centre + inside, dtype=np.float64)
        few.append(within)
        corners.add(near[within])


class _Corners:
    """Centres of the circles through three of some points, or through zero and two, that are empty and around zero."""

    def __init__(self, points: Floats) -> None:
        # Row 0 is the place that the circle must have within it; it is zero here.
        self._points = np.zeros((1, 2))
        self._centres = np.empty((0, 2))
        self._radii = np.empty(0)
        self._held_by_place = np.empty(0, dtype=bool)
        for point in points:
            self.add(point)

    def add(self, point: Floats) -> None:
        """Drop the circles that have the new point within, list those through it."""
        kept = distances(point, self._centres) >= self._radii * (1 - _ROUNDING)
        first, second = np.triu_indices(len(self._points), 1)
        centres = circumcentres(self._points[first], self._points[second], point[None, :])
        finite = np.isfinite(centres).all(axis=1)
        first, centres = first[finite], centres[finite]
        radii = distances(point, centres)
        # Neither a point of the few nor the place itself nearer than the radius: the place is within or on the circle.
        apart = distance_table(centres, self._points)
        empty = (apart[:, 1:] >= radii[:, None] * (1 - _ROUNDING)).all(axis=1)
        empty &= apart[:, 0] <= radii * (1 + _ROUNDING)
        self._centres = np.concatenate((self._centres[kept], centres[empty]))
        self._radii = np.concatenate((self._radii[kept], radii[empty]))
        self._held_by_place = np.concatenate((self._held_by_place[kept], (first == 0)[empty]))
        self._points = np.concatenate((self._points, point[None, :]))

    def largest(self) -> tuple[Floats, float, bool]:
        """Centre, radius, and whether the place itself holds the circle, which then leaves by an open side."""
        if not len(self._radii):
            raise _not_surrounded()
        best = int(np.argmax(self._radii))
        return self._centres[best], float(self._radii[best]), bool(self._held_by_place[best])


def _surrounding(near: Floats) -> list[int]:
    """A few points that surround zero: each the last within half a turn of the one before."""
    angles = np.arctan2(near[:, 1], near[:, 0])
    order = np.argsort(angles, kind="stable")
    turns = angles[order]
    gaps = np.diff(turns, append=turns[0] + 2 * np.pi)
    if float(gaps.max()) >= np.pi * (1 - 1e-12) or not near.any(axis=1).all():
        raise _not_surrounded()
    twice = np.concatenate((turns, turns + 2 * np.pi))
    places, at = [0], 0
    while twice[at] < turns[0] + 2 * np.pi and len(places) < 8:
        at = int(np.searchsorted(twice, twice[at] + np.pi * (1 - 1e-13), side="left")) - 1
        places.append(at)
    return sorted({int(order[place % len(order)]) for place in places})


def _not_surrounded() -> MetrologyError:
    return MetrologyError(
        "not-surrounded",
        "The points leave one side open, so no largest circle lies within them: measure all round the section.",
        "points",
    )
