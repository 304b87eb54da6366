"""The robust slope, held against SciPy's."""

from decimal import Decimal as D
from math import isnan

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.stats import theilslopes

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.robust_line import Point, theil_sen

thicknesses = st.integers(-6, 12).map(lambda step: D(step) * D("0.05"))  # few of them, so that there are ties
pressures = st.integers(-40, 60).map(D)
clouds = st.lists(st.tuples(thicknesses, pressures), min_size=2, max_size=25)


def _scipys(points: list[Point], confidence: float) -> tuple[float, float, float]:
    xs, ys = ([float(value) for value in values] for values in zip(*points, strict=True))
    with np.errstate(invalid="ignore"):
        found = theilslopes(ys, xs, alpha=confidence)
    return float(found.slope), float(found.low_slope), float(found.high_slope)


@given(clouds, st.sampled_from(("0.95", "0.90", "0.50")))
def test_slope_and_interval_are_scipys_ties_included(points: list[Point], confidence: str) -> None:
    assume(len({x for x, _ in points}) > 1)
    found = theil_sen(points, D(confidence))
    wanted = _scipys(points, float(confidence))
    assume(not isnan(wanted[1]))  # nearly all points tied: SciPy has no interval then
    assert (float(found.slope), float(found.lower), float(found.upper)) == pytest.approx(wanted, rel=1e-9, abs=1e-9)


@given(clouds)
def test_the_slope_lies_within_its_interval(points: list[Point]) -> None:
    assume(len({x for x, _ in points}) > 1)
    found = theil_sen(points)
    hair = D("1e-20")  # the last digit of the mean of two slopes
    assert found.lower - hair <= found.slope <= found.upper + hair


def test_one_wild_point_in_ten_does_not_move_the_slope_much() -> None:
    line = [(D(step), 40 * D(step)) for step in range(10)]
    wild = [*line[:9], (D(9), D(-900))]
    assert theil_sen(line).slope == 40
    assert theil_sen(wild).slope == 40


@pytest.mark.parametrize("points", [[], [(D(1), D(2))], [(D(1), D(2)), (D(1), D(3))]])
def test_points_above_one_another_are_no_line(points: list[Point]) -> None:
    with pytest.raises(HydraulicsError):
        theil_sen(points)
