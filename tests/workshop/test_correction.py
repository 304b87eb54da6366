"""An error that is not the same over an instrument's range. Errors and sizes are invented."""

from decimal import Decimal as D

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.calibration import CalibratedPoint
from service.workshop.correction import Correction, error_at


def points(*pairs: tuple[str, str]) -> tuple[CalibratedPoint, ...]:
    """Nominals with their errors."""
    return tuple(CalibratedPoint(nominal=D(nominal), error=D(error)) for nominal, error in pairs)


GROWING = points(("0", "0"), ("5", "0.001"), ("10", "0.005"), ("25", "-0.001"))


@pytest.mark.parametrize(
    ("reading", "error"),
    [
        ("0", "0"),
        ("2.5", "0.0005"),  # half way from 0 to 0.001
        ("5", "0.001"),
        ("6", "0.0018"),  # a fifth of the way from 0.001 to 0.005
        ("10", "0.005"),
        ("20", "0.001"),  # two thirds of the way from 0.005 down to −0.001
        ("25", "-0.001"),
    ],
)
def test_between_two_calibrated_points_the_error_lies_on_the_straight_line(reading: str, error: str) -> None:
    assert error_at(GROWING, D(reading)) == D(error)


@pytest.mark.parametrize(("reading", "error"), [("-3", "0"), ("25.001", "-0.001"), ("500", "-0.001")])
def test_outside_the_calibrated_span_the_error_of_the_nearest_point_is_taken(reading: str, error: str) -> None:
    assert error_at(GROWING, D(reading)) == D(error)


def test_a_single_point_speaks_for_the_whole_range() -> None:
    assert {error_at(points(("10", "0.002")), D(reading)) for reading in ("0", "10", "99")} == {D("0.002")}


def test_a_third_is_given_with_one_digit_more_than_certificate_and_reading_have() -> None:
    assert str(error_at(points(("0", "0.000"), ("3", "0.001")), D(1))) == "0.0003"


@given(
    st.lists(
        st.tuples(st.integers(0, 500), st.integers(-50, 50)), min_size=1, max_size=8, unique_by=lambda one: one[0]
    ),
    st.integers(-1000, 6000),
)
def test_it_is_what_numpy_interpolates(pairs: list[tuple[int, int]], tenths: int) -> None:
    # numpy.interp: piecewise linear, constant beyond its first and last point.
    given_points = points(*((str(nominal), f"{micrometres}e-3") for nominal, micrometres in sorted(pairs)))
    expected = np.interp(
        tenths / 10, [float(one.nominal) for one in given_points], [float(one.error) for one in given_points]
    )
    assert float(error_at(given_points, D(tenths) / 10)) == pytest.approx(float(expected), abs=6e-5)


def test_a_reading_is_corrected_by_the_error_at_its_place_or_by_the_one_error_there_is() -> None:
    assert Correction(points=GROWING, error=D(9)).less_error(D("2.5")) == D("2.4995")
    assert Correction(error=D("-0.02")).less_error(D("1.19")) == D("1.21")


def test_the_correction_says_how_it_is_read_between_and_beyond_the_points() -> None:
    assert Correction(error=D("0.0010")).in_words("mm") == "0.001 mm"
    two = Correction(points=points(("0", "0"), ("25", "0.004")))
    assert two.in_words("mm") == (
        "0 at 0; 0.004 at 25 mm; in a straight line between them, beyond the first and the last constant"
    )
    assert "taken for the whole range" in Correction(points=points(("10", "0.002"))).in_words("mm")
