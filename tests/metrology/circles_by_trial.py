"""The reference circles by trying everything: slow, plain, and written apart from what it checks."""

from itertools import combinations

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]


def centres_of_equal_distances(points: Floats) -> tuple[Floats, Floats]:
    """Each centre as far from a as from b and as far from c as from d, by LU; and which of them are circumcentres."""
    pairs = list(combinations(range(len(points)), 2))
    quads = np.array([(*one, *other) for one, other in combinations(pairs, 2)])
    a, b, c, d = (points[quads[:, column]] for column in range(4))
    rows = np.stack((b - a, d - c), axis=1)
    lengths = np.linalg.norm(rows, axis=2).prod(axis=1)
    usable = np.abs(np.linalg.det(rows)) > 1e-11 * np.maximum(lengths, 1e-300)
    levels = np.stack(((b**2 - a**2).sum(axis=1), (d**2 - c**2).sum(axis=1)), axis=1)[..., None]
    centres = np.linalg.solve(2 * rows[usable], levels[usable])[..., 0]
    three = np.array([len(set(quad)) == 3 for quad in quads[usable].tolist()])
    return centres, three


def apart(centres: Floats, points: Floats) -> Floats:
    return np.linalg.norm(centres[:, None, :] - points[None, :, :], axis=2)


def narrowest_ring(points: Floats) -> float:
    """Width of the narrowest ring about points of which no straight strip is narrower."""
    centres, _ = centres_of_equal_distances(points)
    return float(np.ptp(apart(centres, points), axis=1).min())


def narrowest_strip(points: Floats) -> float:
    """Width of the narrowest straight strip: it lies along two of the points."""
    widths = []
    for a, b in combinations(points, 2):
        along = b - a
        if along.any():
            across = np.array([-along[1], along[0]]) / np.linalg.norm(along)
            widths.append(np.ptp(points @ across))
    return float(min(widths))


def smallest_about(points: Floats) -> float:
    """Radius of the smallest circle with all points within."""
    centres, three = centres_of_equal_distances(points)
    midpoints = np.array([(a + b) / 2 for a, b in combinations(points, 2)])
    return float(apart(np.concatenate((centres[three], midpoints)), points).max(axis=1).min())


def largest_held(points: Floats) -> float:
    """Radius of the largest circle with no point within, held by three points whose triangle has its centre."""
    best = 0.0
    for a, b, c in combinations(points, 3):
        rows = np.array([b - a, c - a])
        if abs(np.linalg.det(rows)) <= 1e-11 * np.linalg.norm(rows, axis=1).prod():
            continue
        centre = np.linalg.solve(2 * rows, [b @ b - a @ a, c @ c - a @ a])
        shares = np.linalg.solve(np.array([b - a, c - a]).T, centre - a)
        radius = float(np.linalg.norm(centre - a))
        surrounded = shares.min() >= -1e-9 and shares.sum() <= 1 + 1e-9
        if surrounded and apart(centre[None, :], points).min() >= radius - 1e-9:
            best = max(best, radius)
    return best


def largest_on_an_edge(points: Floats) -> float:
    """Radius of the largest circle with no point within and its centre on the edge of the points' convex hull."""
    best = 0.0
    for a, b in combinations(points, 2):
        along = b - a
        sides = (points - a) @ np.array([-along[1], along[0]])
        if not along.any() or (sides.min() < -1e-12 and sides.max() > 1e-12):
            continue
        for p, q in combinations(points, 2):
            slope = 2 * (q - p) @ along
            if abs(slope) > 1e-12:
                share = ((q - a) @ (q - a) - (p - a) @ (p - a)) / slope
                if 0 < share < 1:
                    best = max(best, float(apart((a + share * along)[None, :], points).min()))
    return best
