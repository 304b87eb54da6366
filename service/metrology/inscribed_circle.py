"""The largest circle within the hole that the points bound: the maximum inscribed reference circle."""

import numpy as np

from service.metrology.circle_centres import circumcentres, distance_table, distances
from service.metrology.errors import MetrologyError
from service.metrology.measured_points import Floats

_ROUNDING = 32 * np.finfo(np.float64).eps
_DIRECTIONS = 12
_MOST_HELD = 150  # an outline needs some thirty; a cloud, whose every gap is a hole, would need all its points


def inscribed_centre(xy: Floats) -> Floats:
    """Centre (2,) of the largest circle that has none of the scaled points (n, 2) within and its centre among them.

    ISO 12181-1, maximum inscribed reference circle (clause 3.3, number from memory). A plane of points has larger empty
    circles outside; among the points means within their convex hull. There the largest is held by three points
    that surround its centre, or its centre lies on the hull's edge and it would leave by that side: then there is none.

    Exact: for a few of the points all circles are listed; a point of all that lies within the largest joins the few.
    Circles only shrink when points join, so a largest one of the few that is empty of all is the largest of all, once
    the hull's edges and what lies beyond the hull of the few are shown to hold none as large. Of equally large
    circles one is given: only the radius is unique.

    Raises MetrologyError with code `not-surrounded` when the points leave one side open, `points-scattered` when
    more than 150 are no outline of one hole.
    """
    near = xy - xy.mean(axis=0)
    turns = np.arange(_DIRECTIONS) * (2 * np.pi / _DIRECTIONS)
    few = sorted({int(np.argmax(near @ np.array([np.cos(turn), np.sin(turn)]))) for turn in turns})
    held = _HeldCircles(near[few])
    while True:
        centre, radius = held.largest()
        joining = _within(centre, radius, near)
        if joining is None or joining in few:
            joining = _nearest_to_open_edge(near, few, radius)
        if joining is None:
            joining = _beyond_the_few(near, few, radius)
        if joining is None:
            return np.asarray(centre + xy.mean(axis=0), dtype=np.float64)
        if len(few) == _MOST_HELD:
            raise MetrologyError(
                "points-scattered",
                "The points are scattered over an area, not along one outline: measure the edge of the section alone.",
                "points",
            )
        few.append(joining)
        held.add(near[joining])


class _HeldCircles:
    """The circles through three of some points that surround the centre, with none of these points within."""

    def __init__(self, points: Floats) -> None:
        self._points = np.empty((0, 2))
        self._centres = np.empty((0, 2))
        self._radii = np.empty(0)
        for point in points:
            self.add(point)

    def add(self, point: Floats) -> None:
        """Drop the circles that have the new point within, list those that it holds with two others."""
        kept = distances(point, self._centres) >= self._radii * (1 - _ROUNDING)
        first, second = (self._points[index] for index in np.triu_indices(len(self._points), 1))
        held = _surround(first, second, point)
        first, second = first[held], second[held]
        centres = circumcentres(first, second, point[None, :])
        usable = np.isfinite(centres).all(axis=1)
        centres = centres[usable]
        radii = distances(point, centres)
        empty = (distance_table(centres, self._points) >= radii[:, None] * (1 - _ROUNDING)).all(axis=1)
        self._centres = np.concatenate((self._centres[kept], centres[empty]))
        self._radii = np.concatenate((self._radii[kept], radii[empty]))
        self._points = np.concatenate((self._points, point[None, :]))

    def largest(self) -> tuple[Floats, float]:
        """Centre and radius; radius zero while no three points surround a centre."""
        if not len(self._radii):
            return np.zeros(2), 0.0
        best = int(np.argmax(self._radii))
        return self._centres[best], float(self._radii[best])


def _surround(first: Floats, second: Floats, third: Floats) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Whether three points surround the centre of their circle: no angle of the triangle is over a right one."""
    one, two, three = second - first, third - second, first - third
    corners = ((one * three).sum(axis=1), (one * two).sum(axis=1), (two * three).sum(axis=1))
    return np.asarray(np.max(corners, axis=0) <= _ROUNDING)


def _within(centre: Floats, radius: float, near: Floats) -> int | None:
    apart = distances(centre, near)
    nearest = int(np.argmin(apart))
    return nearest if apart[nearest] < radius * (1 - _ROUNDING) else None


def _nearest_to_open_edge(near: Floats, few: list[int], radius: float) -> int | None:
    """The point that bounds the largest circle on an edge of the hull of the few, if that is larger than `radius`."""
    points = near[few]
    largest, place, edge = radius, None, None
    for start, end in _hull_edges(points):
        if float(np.hypot(*(end - start))) / 2 > largest:  # both ends are points: no circle is larger than half
            centre, reached = _largest_on_edge(start, end, points)
            if reached > largest:
                largest, place, edge = reached, centre, (start, end)
    if place is None or edge is None:
        return None
    joining = _within(place, largest, near)
    if joining is None or joining in few:
        joining = _farthest_beyond(*edge, near)
    if joining is None or joining in few:
        raise MetrologyError(
            "not-surrounded",
            "The points leave one side open, so no largest circle lies within them: measure all round the section.",
            "points",
        )
    return joining


def _largest_on_edge(start: Floats, end: Floats, points: Floats) -> tuple[Floats, float]:
    """The largest circle with none of a few points within and its centre on the edge between two of them.

    Along the edge the squared distances of two points differ by a linear function: it is where two are equal.
    """
    length = float(np.hypot(*(end - start)))
    along = (end - start) / length
    places, squares = (points - start) @ along, ((points - start) ** 2).sum(axis=1)
    first, second = np.triu_indices(len(points), 1)
    with np.errstate(divide="ignore", invalid="ignore"):
        equal = (squares[second] - squares[first]) / (2 * (places[second] - places[first]))
    equal = equal[(equal > 0) & (equal < length)]
    centres = start + equal[:, None] * along
    reached = distance_table(centres, points).min(axis=1)
    best = int(np.argmax(reached))
    return centres[best], float(reached[best])


def _beyond_the_few(near: Floats, few: list[int], radius: float) -> int | None:
    """The point farthest beyond an edge of the hull of the few, where a centre beyond it could hold a larger circle.

    A centre beyond the edge has a point within half the extent along the edge of all that is beyond, and within
    its height: no circle there is larger than the two allow.
    """
    for start, end in _hull_edges(near[few]):
        along = (end - start) / float(np.hypot(*(end - start)))
        farthest = _farthest_beyond(start, end, near)
        if farthest is None or farthest in few:
            continue
        apart = near - start
        height = _heights(start, along, near)
        beyond = np.append(apart[height > 0] @ along, [0.0, float((end - start) @ along)])
        if float(np.hypot(np.ptp(beyond) / 2, height[farthest])) > radius:
            return farthest
    return None


def _farthest_beyond(start: Floats, end: Floats, near: Floats) -> int | None:
    height = _heights(start, (end - start) / float(np.hypot(*(end - start))), near)
    farthest = int(np.argmax(height))
    return farthest if height[farthest] > _ROUNDING else None


def _heights(start: Floats, along: Floats, near: Floats) -> Floats:
    """How far points (n, 2) lie to the right of a line, which is outside an anticlockwise hull's edge."""
    height: Floats = (near[:, 0] - start[0]) * along[1] - (near[:, 1] - start[1]) * along[0]
    return height


def _hull_edges(points: Floats) -> list[tuple[Floats, Floats]]:
    """Edges of the convex hull of a few points, anticlockwise (Andrew's chains)."""
    ordered = sorted(set(map(tuple, points.tolist())))
    corners: list[tuple[float, float]] = []
    for chain in (ordered, ordered[::-1]):
        half: list[tuple[float, float]] = []
        for x, y in chain:
            while len(half) > 1 and _turn(half[-2], half[-1], (x, y)) <= 0:
                half.pop()
            half.append((x, y))
        corners += half[:-1]
    places = np.array(corners)
    return list(zip(places, np.roll(places, -1, axis=0), strict=True))


def _turn(first: tuple[float, float], second: tuple[float, float], third: tuple[float, float]) -> float:
    return (second[0] - first[0]) * (third[1] - first[1]) - (second[1] - first[1]) * (third[0] - first[0])
