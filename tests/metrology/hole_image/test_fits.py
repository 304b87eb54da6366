"""Circle and ellipse of least squares against SciPy's optimiser, which knows nothing of how ours are made."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import optimize, spatial

from seed_demo.rendered_hole import Array, Hole, coverage
from service.metrology.hole_image.ellipse import fit_ellipse
from service.metrology.hole_image.profiles import independent_points, mean_circle


def edge_points(seed: int, major: float, minor: float, angle: float, spread: float = 0.5) -> Array:
    chance = np.random.default_rng(seed)
    hole = Hole(300 + seed, 200 - seed / 3, major, minor, angle)
    theta = np.sort(chance.uniform(0, 2 * np.pi, 150))
    radii = hole.radius(theta) + chance.normal(0, spread, theta.size)
    return np.column_stack([hole.x + radii * np.cos(theta), hole.y + radii * np.sin(theta)])


@pytest.mark.published
@pytest.mark.parametrize("seed", range(8))
def test_the_circle_is_the_one_that_scipy_finds(seed: int) -> None:
    """Source: scipy.optimize.least_squares on the distances to the circle."""
    points = edge_points(seed, 120, 110, 20)
    start = [*points.mean(axis=0), 50.0]
    best = optimize.least_squares(
        lambda c: np.hypot(points[:, 0] - c[0], points[:, 1] - c[1]) - c[2], start, xtol=1e-14, ftol=1e-14, gtol=1e-14
    ).x
    assert mean_circle(points) == pytest.approx(best, abs=1e-6)


def distances_to_polygon(points: Array, x: float, y: float, a: float, b: float, turn: float) -> Array:
    """Distance of each point to an ellipse, by brute force: the nearest of 40,000 points on it."""
    t = np.linspace(0, 2 * np.pi, 40_000, endpoint=False)
    outline = np.column_stack(
        [
            x + a * np.cos(t) * np.cos(turn) - b * np.sin(t) * np.sin(turn),
            y + a * np.cos(t) * np.sin(turn) + b * np.sin(t) * np.cos(turn),
        ]
    )
    return np.asarray(spatial.cKDTree(outline).query(points)[0])


@pytest.mark.published
@pytest.mark.parametrize(("seed", "major", "minor", "angle"), [(1, 120, 110, 20), (2, 90, 70, 140), (3, 400, 390, 80)])
def test_the_ellipse_is_the_one_that_scipy_finds(seed: int, major: float, minor: float, angle: float) -> None:
    """Source: scipy.optimize.least_squares over the ellipse and every foot point at once (orthogonal distances)."""
    points = edge_points(seed, major, minor, angle)
    centre = points.mean(axis=0)
    turn = np.radians(angle)
    away = points - centre
    first = np.arctan2(-away[:, 0] * np.sin(turn) + away[:, 1] * np.cos(turn), away @ [np.cos(turn), np.sin(turn)])

    def misses(unknowns: Array) -> Array:
        x, y, a, b, turn = unknowns[:5]
        cosine, sine = a * np.cos(unknowns[5:]), b * np.sin(unknowns[5:])
        on_x = x + cosine * np.cos(turn) - sine * np.sin(turn)
        on_y = y + cosine * np.sin(turn) + sine * np.cos(turn)
        return np.concatenate([points[:, 0] - on_x, points[:, 1] - on_y])

    best = optimize.least_squares(misses, [*centre, major / 2, minor / 2, turn, *first], xtol=1e-12, ftol=1e-12).x
    ours = fit_ellipse(points)
    assert (ours.x, ours.y, ours.semi_major, ours.semi_minor) == pytest.approx(best[:4], abs=1e-4)
    assert ours.angle_deg == pytest.approx(np.degrees(best[4]) % 180, abs=0.01)
    own = distances_to_polygon(points, ours.x, ours.y, ours.semi_major, ours.semi_minor, np.radians(ours.angle_deg))
    assert np.sum(own**2) == pytest.approx(np.sum(misses(best) ** 2), rel=1e-3)  # the outline has corners


@settings(max_examples=40, deadline=None)
@given(
    st.floats(20, 500), st.floats(0, 0.3), st.floats(0, 179), st.floats(-1e4, 1e4), st.floats(-1e4, 1e4)
)  # fmt: skip
def test_points_on_an_ellipse_give_that_ellipse_wherever_it_lies(
    major: float, flat: float, angle: float, x: float, y: float
) -> None:
    hole = Hole(x, y, major, major * (1 - flat), angle)
    theta = np.arange(90) * 2 * np.pi / 90
    radii = hole.radius(theta)
    found = fit_ellipse(np.column_stack([x + radii * np.cos(theta), y + radii * np.sin(theta)]))
    assert (2 * found.semi_major, 2 * found.semi_minor) == pytest.approx((hole.major, hole.minor), abs=1e-5)
    assert (found.x, found.y) == pytest.approx((x, y), abs=1e-5)


def test_points_that_follow_each_other_count_for_fewer() -> None:
    white = np.random.default_rng(5).normal(size=720)
    kept = np.convolve(np.tile(white, 3), np.ones(6) / 6, mode="same")[720:1440]
    assert independent_points(white) > 500
    assert independent_points(kept) == pytest.approx(720 / 6, rel=0.4)


def test_the_drawn_hole_has_the_area_of_its_ellipse() -> None:
    """The renderer itself: the sum of all coverage is π·a·b (a formula that it does not use)."""
    for hole in (Hole(60.3, 55.7, 70, 62, 25), Hole(300.5, 310.1, 500, 460, 130)):
        drawn = coverage(hole, 2 * int(hole.x) + 1, 2 * int(hole.y) + 1)
        assert drawn.sum() == pytest.approx(np.pi * hole.major * hole.minor / 4, rel=2e-5)
        x = (drawn.sum(axis=0) * np.arange(drawn.shape[1])).sum() / drawn.sum()
        assert x == pytest.approx(hole.x, abs=0.002)
