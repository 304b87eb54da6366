"""Points that are no section of a round part: refused with a sentence that says what to do."""

from typing import Any

import numpy as np
import pytest

from service.metrology.errors import MetrologyError
from service.metrology.point_lists import parse_points
from service.metrology.roundness import maximum_inscribed_circle, minimum_zone, roundness

TURNS = np.radians(np.arange(0, 90, 2))
QUARTER = np.column_stack((np.cos(TURNS), np.sin(TURNS)))


@pytest.mark.parametrize(
    ("points", "code"),
    [
        ([], "points-shape"),
        ([1.0, 2.0, 3.0], "points-shape"),
        ([(1, 2, 3), (4, 5, 6), (7, 8, 10)], "points-shape"),
        ([("a", "b")] * 3, "points-shape"),
        ([(0, 0), (1, 0)], "too-few-points"),
        ([(0, 0), (1, 0), (float("nan"), 1)], "point-not-finite"),
        ([(0, 0), (1, 0), (0, float("inf"))], "point-not-finite"),
        ([(0, 0), (1, 0), (0, 2e6)], "point-out-of-range"),
        ([(5, 5)] * 10, "points-in-one-place"),
        ([(900, 900), (900 + 1e-13, 900), (900, 900 + 2e-13)], "points-in-one-place"),
        ([(0, 0), (1, 1), (0, 0), (1, 1)], "points-in-line"),
        ([(900 + step / 10, 700 + step / 30) for step in range(50)], "points-in-line"),
    ],
)
def test_points_through_which_no_circle_goes_are_refused(points: Any, code: str) -> None:
    with pytest.raises(MetrologyError) as refusal:
        roundness(points)
    assert (refusal.value.code, refusal.value.field) == (code, "points")


def test_the_refusal_names_the_point_that_is_no_number() -> None:
    with pytest.raises(MetrologyError, match="Point 3 is not"):
        roundness([(0, 0), (1, 0), (float("nan"), 1), (0, 1)])


def test_points_to_which_a_straight_strip_fits_no_worse_have_no_minimum_zone() -> None:
    # A zigzag between two parallels.
    with pytest.raises(MetrologyError) as refusal:
        minimum_zone([(0, 0), (1, 1), (2, 0), (3, 1), (4, 0), (5, 1)])
    assert refusal.value.code == "points-nearly-straight"


def test_an_arc_has_no_inscribed_circle_and_keeps_its_other_circles() -> None:
    with pytest.raises(MetrologyError) as refusal:
        maximum_inscribed_circle(QUARTER)
    assert refusal.value.code == "not-surrounded"
    found = roundness(QUARTER)
    assert found.maximum_inscribed is None
    assert found.least_squares.radius_mm == pytest.approx(1, abs=1e-12)
    assert found.minimum_zone.deviation_mm == pytest.approx(0, abs=1e-12)
    assert found.minimum_circumscribed.radius_mm == pytest.approx(np.sin(np.radians(44)), abs=1e-12)


def test_a_scattered_cloud_is_no_outline_of_a_hole() -> None:
    with pytest.raises(MetrologyError) as refusal:
        maximum_inscribed_circle(np.random.default_rng(1).uniform(size=(2_000, 2)))
    assert refusal.value.code == "points-scattered"


@pytest.mark.parametrize(
    "text",
    [
        "1.5,0\n0,1.5\n-1.5,0\n",
        "x,y\n1.5,0\n0,1.5\n-1.5,0",
        "\ufeffx mm;y mm\r\n1,5;0\r\n\r\n0;1,5\r\n-1,5;0\r\n",
        "1.5\t0\n0\t1,5\n-1.5\t0\n",
        " 1.5 , 0 \n 0, 15e-1\n-1.5,0\n",
    ],
)
def test_points_are_read_as_instruments_and_spreadsheets_write_them(text: str) -> None:
    assert parse_points(text).tolist() == [[1.5, 0], [0, 1.5], [-1.5, 0]]


@pytest.mark.parametrize(
    ("text", "code", "sentence"),
    [
        ("", "points-missing", "empty"),
        ("x,y\n", "points-missing", "no point"),
        ("1,5,0,2\n1,5,0,3\n", "points-unreadable", "Line 1 has 4 values"),
        ("1,2\n3\n4,5\n", "points-unreadable", "Line 2 has 1 values"),
        ("x,y\n1,2\n3,four\n", "points-unreadable", "Line 3 reads “four”"),
        ("1,2\nnan,3\n", "points-unreadable", "Line 2 reads “nan”"),
        ("nan,nan\n1,2\n", "points-unreadable", "Line 1 reads “nan”"),
        ("1.000,5;2\n1;2\n", "points-unreadable", "Line 1 reads"),
        ("1,2\n1_000,3\n", "points-unreadable", "Line 2 reads"),
        ("1,2\n٣,3\n", "points-unreadable", "Line 2 reads"),
        ("1,2\n3,\n", "points-unreadable", "Line 2 reads"),
    ],
)
def test_a_list_that_is_not_all_points_is_refused_with_its_line(text: str, code: str, sentence: str) -> None:
    with pytest.raises(MetrologyError, match=sentence) as refusal:
        parse_points(text)
    assert refusal.value.code == code
