"""The four reference circles against trial of everything, optimisers and linear programs that know nothing of them."""

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.optimize import least_squares, linprog, minimize

from service.metrology.errors import MetrologyError
from service.metrology.roundness import (
    least_squares_circle,
    maximum_inscribed_circle,
    minimum_circumscribed_circle,
    minimum_zone,
    roundness,
)
from tests.metrology.circles_by_trial import (
    Floats,
    apart,
    largest_held,
    largest_on_an_edge,
    narrowest_ring,
    narrowest_strip,
    smallest_about,
)

# Points anywhere, to a hundredth: many are in line, repeated, or on one circle.
ANYWHERE = st.lists(st.tuples(st.integers(-500, 500), st.integers(-500, 500)), min_size=3, max_size=8)
COARSE = st.lists(st.tuples(st.integers(-3, 3), st.integers(-3, 3)), min_size=3, max_size=9)


def _round_part(count: int, form_mm: float, seed: int, place_mm: float = 0.0) -> Floats:
    """A section of radius 2.5 mm with random form, in random directions."""
    dice = np.random.default_rng(seed)
    directions = np.sort(dice.uniform(0, 2 * np.pi, count))
    radii = 2.5 + form_mm * dice.uniform(-0.5, 0.5, count)
    return np.column_stack((np.cos(directions), np.sin(directions))) * radii[:, None] + place_mm


def _hundredths(pairs: list[tuple[int, int]]) -> Floats:
    return np.array(pairs, dtype=np.float64) / 100


@settings(max_examples=60, deadline=None)
@given(st.one_of(ANYWHERE, COARSE).map(_hundredths))
def test_the_minimum_zone_is_the_narrowest_ring_of_all_that_there_are(points: Floats) -> None:
    _refuse_no_circle(points)
    if narrowest_strip(points) <= narrowest_ring(points) + 1e-9:
        return  # a straight strip is as narrow: refused, see test_roundness_refusals
    assert minimum_zone(points).deviation_mm == pytest.approx(narrowest_ring(points), abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(st.one_of(ANYWHERE, COARSE).map(_hundredths))
def test_the_circumscribed_circle_is_the_smallest_of_all_that_there_are(points: Floats) -> None:
    _refuse_no_circle(points)
    assert minimum_circumscribed_circle(points).radius_mm == pytest.approx(smallest_about(points), abs=1e-10)


def _refuse_no_circle(points: Floats) -> None:
    """Leave out points through which there is no circle."""
    assume(np.linalg.matrix_rank(points - points[0], tol=1e-9) == 2)


@settings(max_examples=60, deadline=None)
@given(st.one_of(ANYWHERE, COARSE).map(_hundredths))
def test_the_inscribed_circle_is_the_largest_empty_one_among_the_points(points: Floats) -> None:
    _refuse_no_circle(points)
    held, on_an_edge = largest_held(points), largest_on_an_edge(points)
    if on_an_edge > held + 1e-9:
        with pytest.raises(MetrologyError, match="leave one side open"):
            maximum_inscribed_circle(points)
    elif on_an_edge < held - 1e-9:
        assert maximum_inscribed_circle(points).radius_mm == pytest.approx(held, abs=1e-9)


@pytest.mark.parametrize("seed", range(5))
def test_the_least_squares_circle_is_where_a_general_optimiser_ends(seed: int) -> None:
    points = _round_part(12, 0.2, seed)
    found = least_squares_circle(points)
    fitted = least_squares(
        lambda circle: np.hypot(points[:, 0] - circle[0], points[:, 1] - circle[1]) - circle[2],
        x0=[0.1, -0.1, 2.0],
        xtol=1e-15,
        ftol=1e-15,
        gtol=1e-15,
    )
    assert (found.x_mm, found.y_mm, found.radius_mm) == pytest.approx(tuple(fitted.x), abs=1e-8)


@pytest.mark.parametrize("seed", range(5))
def test_no_start_of_a_general_optimiser_finds_a_narrower_ring(seed: int) -> None:
    points = _round_part(9, 0.3, seed)
    starts = np.random.default_rng(seed).uniform(-1, 1, (20, 2))
    ends = [
        minimize(
            lambda centre: np.ptp(apart(centre[None, :], points)[0]),
            start,
            method="Nelder-Mead",
            options={"xatol": 1e-11, "fatol": 1e-12, "maxiter": 4000},
        ).fun
        for start in starts
    ]
    assert minimum_zone(points).deviation_mm == pytest.approx(min(ends), abs=1e-7)
    assert minimum_zone(points).deviation_mm <= min(ends) + 1e-12


@pytest.mark.parametrize(("count", "form_mm"), [(400, 0.002), (2_000, 0.002), (2_000, 0.1)])
def test_a_linear_program_finds_the_same_ring_and_circles_about_thousands_of_points(count: int, form_mm: float) -> None:
    # Each radius is nearly linear in a small shift of the centre; repeated, the program ends at the true circles.
    points = _round_part(count, form_mm, seed=count)
    found = roundness(points)
    assert found.maximum_inscribed is not None
    # Costs of outer and inner radius: the ring's width; the outer alone; the inner alone, the larger the better.
    assert found.minimum_zone.deviation_mm == pytest.approx(_by_linear_programs(points, 1, -1), abs=1e-10)
    assert found.minimum_circumscribed.radius_mm == pytest.approx(_by_linear_programs(points, 1, 0), abs=1e-10)
    assert found.maximum_inscribed.radius_mm == pytest.approx(-_by_linear_programs(points, 0, -1), abs=1e-10)


def _by_linear_programs(points: Floats, outer_cost: int, inner_cost: int) -> float:
    centre, reached = points.mean(axis=0), np.inf
    for _ in range(12):
        distances = apart(centre[None, :], points)[0]
        towards = (points - centre) / distances[:, None]
        ones, zeros = np.ones(len(points)), np.zeros(len(points))
        # distance − towards·shift ≤ outer, and ≥ inner; micrometres, or the solver's tolerance would show.
        rows = np.concatenate((np.column_stack((-towards, -ones, zeros)), np.column_stack((towards, zeros, ones))))
        middle = distances.mean()
        levels = np.concatenate((middle - distances, distances - middle)) * 1e3
        shift = linprog(
            [0, 0, outer_cost, inner_cost], A_ub=rows, b_ub=levels, bounds=[(-400, 400)] * 2 + [(-400, 400)] * 2
        )
        assert shift.status == 0
        centre = centre + shift.x[:2] / 1e3
        distances = apart(centre[None, :], points)[0]
        reached = min(reached, outer_cost * distances.max() + inner_cost * distances.min())
    return float(reached)


def test_micrometre_form_a_metre_from_the_origin_keeps_its_nanometres() -> None:
    near, far = roundness(_round_part(2_000, 0.001, 7)), roundness(_round_part(2_000, 0.001, 7, place_mm=1_000.0))
    for name in ("least_squares", "minimum_zone", "minimum_circumscribed", "maximum_inscribed"):
        here, there = getattr(near, name), getattr(far, name)
        # The coordinates themselves are rounded to 1.1e-13 mm there.
        assert there.deviation_mm == pytest.approx(here.deviation_mm, abs=1e-12)
        assert there.radius_mm == pytest.approx(here.radius_mm, abs=1e-12)
        assert (there.x_mm - 1_000, there.y_mm - 1_000) == pytest.approx((here.x_mm, here.y_mm), abs=1e-9)


def test_a_hundred_thousand_points_are_judged_as_exactly_as_the_few_that_the_circles_touch() -> None:
    points = _round_part(100_000, 0.002, 3)
    found = minimum_zone(points)
    distances = apart(np.array([[found.x_mm, found.y_mm]]), points)[0]
    touched = points[(distances >= found.outer_mm - 1e-10) | (distances <= found.inner_mm + 1e-10)]
    assert 4 <= len(touched) <= 8
    # A ring about all is no narrower than one about some: equality proves it the narrowest.
    assert narrowest_ring(touched) == pytest.approx(found.deviation_mm, abs=1e-12)
    assert found.deviation_mm < 0.002


def test_points_crowded_in_three_places_still_give_the_circle_through_them() -> None:
    dice = np.random.default_rng(5)
    corners = np.array([[0.0, 2.0], [-1.6, -1.2], [1.6, -1.2]])
    points = np.repeat(corners, 50, axis=0) + dice.normal(0, 1e-6, (150, 2))
    found = roundness(points)
    assert found.least_squares.radius_mm == pytest.approx(2, abs=1e-5)
    assert found.minimum_zone.deviation_mm < 2e-5
    assert found.maximum_inscribed is not None
    assert found.maximum_inscribed.radius_mm == pytest.approx(2, abs=1e-5)


def test_three_points_have_one_circle_and_no_deviation() -> None:
    found = roundness([(5.0, 0.0), (0.0, 5.0), (-3.0, -4.0)])
    for circle in (found.least_squares, found.minimum_zone, found.minimum_circumscribed, found.maximum_inscribed):
        assert circle is not None
        assert (circle.x_mm, circle.y_mm, circle.radius_mm) == pytest.approx((0, 0, 5), abs=1e-13)
        assert circle.deviation_mm == pytest.approx(0, abs=1e-14)


def test_a_closed_trace_that_repeats_its_first_point_is_judged_as_without_it() -> None:
    points = _round_part(60, 0.01, 2)
    closed = np.concatenate((points, points[:1]))
    assert minimum_zone(closed).deviation_mm == pytest.approx(minimum_zone(points).deviation_mm, abs=1e-14)
    assert minimum_circumscribed_circle(closed) == minimum_circumscribed_circle(points)
