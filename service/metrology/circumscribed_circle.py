"""The smallest circle that contains every point: the minimum circumscribed reference circle."""

from itertools import combinations

import numpy as np

from service.metrology.circle_centres import circumcentres, distances
from service.metrology.measured_points import Floats

_ROUNDING = 16 * np.finfo(np.float64).eps


def circumscribed_centre(xy: Floats) -> Floats:
    """Centre (2,) of the smallest circle about scaled points (n, 2): exact, the only one there is.

    ISO 12181-1, minimum circumscribed reference circle (clause 3.3, number from memory). Exchange: the circle of
    two or three points that hold it; the point farthest outside joins them, and the smallest circle of these at most
    four is the next. Its radius grows at each exchange and there are finitely many, so it ends, and it ends only when
    no point of all is outside: then a smallest circle of some of the points contains all of them.
    """
    held = [int(np.argmax(distances(xy.mean(axis=0), xy)))]
    held.append(int(np.argmax(distances(xy[held[0]], xy))))
    centre: Floats = (xy[held[0]] + xy[held[1]]) / 2
    radius = float(distances(centre, xy[held]).max())
    while True:
        apart = distances(centre, xy)
        outside = int(np.argmax(apart))
        if apart[outside] <= radius * (1 + _ROUNDING) or outside in held:
            return centre
        next_held, next_centre, next_radius = _smallest_about([*held, outside], xy)
        if next_radius <= radius:
            return centre
        held, centre, radius = next_held, next_centre, next_radius


def _smallest_about(indices: list[int], xy: Floats) -> tuple[list[int], Floats, float]:
    """The smallest circle about at most four points: of the circles through two or three, the one that needs least."""
    few = xy[indices]
    best: tuple[list[int], Floats, float] = (indices, few.mean(axis=0), np.inf)
    for count in (2, 3):
        for chosen in combinations(indices, count):
            corners = xy[list(chosen)]
            centre = corners.mean(axis=0) if count == 2 else circumcentres(*corners)
            radius = float(distances(centre, few).max())
            if radius < best[2]:
                best = (list(chosen), centre, radius)
    return best
