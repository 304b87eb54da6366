"""Centres that have equal distances to given points: of three, and of two pairs."""

import numpy as np

from service.metrology.measured_points import Floats

FARTHEST_CENTRE = 1e7  # in extents of the points: beyond, an arc cannot be told from a straight line
_PARALLEL = 1e-13  # sine of an angle that rounding of the coordinates alone can make


def circumcentres(first: Floats, second: Floats, third: Floats) -> Floats:
    """Centres (k, 2) of the circles through three points each; not finite where the three lie in line.

    The arguments broadcast to (k, 2) and share any unit; points near zero keep most digits.
    """
    return bisector_crossings(first, second, first, third)


def bisector_crossings(first: Floats, second: Floats, third: Floats, fourth: Floats) -> Floats:
    """Centres (k, 2) as far from `first` as from `second`, and as far from `third` as from `fourth`.

    2 c·(q − p) = (q − p)·(q + p) for each pair of scaled points; not a number where the perpendicular bisectors
    are parallel or meet so far away that the circle is a straight line to the digits that there are.
    """
    one, other = second - first, fourth - third
    one_level = ((second + first) * one).sum(axis=-1)
    other_level = ((fourth + third) * other).sum(axis=-1)
    with np.errstate(divide="ignore", invalid="ignore", over="ignore"):
        product = one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
        lengths = np.sqrt((one * one).sum(axis=-1) * (other * other).sum(axis=-1))
        twice = np.where(np.abs(product) > _PARALLEL * lengths, 2 * product, np.nan)
        x = (one_level * other[..., 1] - other_level * one[..., 1]) / twice
        y = (other_level * one[..., 0] - one_level * other[..., 0]) / twice
        centres = np.stack((x, y), axis=-1)
        centres[~(np.abs(centres).max(axis=-1) <= FARTHEST_CENTRE)] = np.nan
    return centres


def distances(centre: Floats, points: Floats) -> Floats:
    """Distance (n,) of each of the points (n, 2) from one centre (2,); scaled points cannot overflow their squares."""
    x, y = points[:, 0] - centre[0], points[:, 1] - centre[1]
    return np.asarray(np.sqrt(x * x + y * y), dtype=np.float64)


def distance_table(centres: Floats, points: Floats) -> Floats:
    """Distances (k, n) of k centres from n points."""
    x = centres[:, 0, None] - points[:, 0]
    y = centres[:, 1, None] - points[:, 1]
    return np.asarray(np.sqrt(x * x + y * y), dtype=np.float64)
