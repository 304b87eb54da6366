"""The circle with the least sum of squared radial distances: the least-squares reference circle."""

import numpy as np

from service.metrology.circle_centres import FARTHEST_CENTRE, distances
from service.metrology.errors import MetrologyError
from service.metrology.measured_points import Floats

_MOST_STEPS = 100
_SETTLED = 4 * np.finfo(np.float64).eps
_NEARLY_SETTLED = 1e-9  # steps so short that no longer shrink are rounding: Newton's at least halve
# The sum of squares is flat at its least: only its slope places the centre to the last digits, so a step is not
# refused for what rounding does to the sum.
_FLAT = 256 * np.finfo(np.float64).eps


def least_squares_centre(xy: Floats) -> Floats:
    """Centre (2,) of the geometric least-squares circle of scaled points (n, 2); the radius is the mean distance.

    The sum of squares is that of the orthogonal distances, as ISO 12181-1 defines the least-squares reference
    circle (clause 3.3, number from memory), and not that of an algebraic fit. Start: the algebraic fit of Taubin,
    which is nearly unbiased on arcs; then Newton's method, with the Gauss-Newton matrix wherever the full one
    is not positive definite, and steps halved until the sum falls.

    Raises MetrologyError with code `points-nearly-straight` when the best circle grows without end.
    """
    centre = _algebraic_centre(xy)
    cost, length = _cost(centre, xy), np.inf
    for _ in range(_MOST_STEPS):
        step = _newton_step(centre, xy)
        place = 1 + float(np.hypot(*centre))
        new_cost = _cost(centre + step, xy)
        while new_cost > cost * (1 + _FLAT) and float(np.hypot(*step)) > _SETTLED * place:
            step = step / 2
            new_cost = _cost(centre + step, xy)
        centre, cost = centre + step, new_cost
        _refuse_straight(centre)
        before, length = length, float(np.hypot(*step))
        if length <= _SETTLED * place or before / 2 < length < _NEARLY_SETTLED * place:
            break
    return centre


def _cost(centre: Floats, xy: Floats) -> float:
    apart = distances(centre, xy)
    excess = apart - apart.mean()
    return float(excess @ excess)


def _newton_step(centre: Floats, xy: Floats) -> Floats:
    """One step of the two-variable problem in which the radius is always the mean distance."""
    apart = distances(centre, xy)
    inverse = 1 / np.maximum(apart, np.finfo(np.float64).tiny)
    outward = (centre - xy).T * inverse
    excess = apart - apart.mean()
    slope = outward @ excess
    mean = outward.mean(axis=1)
    gauss_newton = outward @ outward.T - len(xy) * np.outer(mean, mean)
    bend = excess * inverse
    curvature = gauss_newton + bend.sum() * np.eye(2) - (outward * bend) @ outward.T
    for matrix in (curvature, gauss_newton):
        lowest, highest = np.linalg.eigvalsh(matrix)
        if lowest > 1e-12 * highest > 0:
            return np.asarray(-np.linalg.solve(matrix, slope), dtype=np.float64)
    return np.asarray(-slope / len(xy), dtype=np.float64)


def _algebraic_centre(xy: Floats) -> Floats:
    """Taubin's fit: the start."""
    middle = xy.mean(axis=0)
    near = xy - middle
    square = (near * near).sum(axis=1)
    mean_square = float(square.mean())
    columns = np.column_stack(((square - mean_square) / (2 * np.sqrt(mean_square)), near))
    quadratic, *linear = np.linalg.eigh(columns.T @ columns)[1][:, 0]
    quadratic = quadratic / (2 * np.sqrt(mean_square))
    with np.errstate(divide="ignore", invalid="ignore"):
        centre = middle - np.array(linear) / quadratic / 2
    if not np.isfinite(centre).all() or float(np.hypot(*centre)) > FARTHEST_CENTRE:
        _refuse_straight(np.array([np.inf, 0.0]))
    return np.asarray(centre, dtype=np.float64)


def _refuse_straight(centre: Floats) -> None:
    if not float(np.hypot(*centre)) <= FARTHEST_CENTRE:
        raise MetrologyError(
            "points-nearly-straight",
            "The points lie so nearly on a straight line that no circle fits them best: measure more of the section.",
            "points",
        )
