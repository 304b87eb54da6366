"""Laws of form that hold for every section: where it lies, how it is turned and how large it is change nothing."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.metrology.roundness import Roundness, roundness
from tests.metrology.circles_by_trial import Floats, apart

CIRCLES = ("least_squares", "minimum_zone", "minimum_circumscribed", "maximum_inscribed")


@st.composite
def sections(draw: st.DrawFn) -> Floats:
    """Points all round a section of radius about 1 mm, in uneven directions, with up to 50 µm of form."""
    count = draw(st.integers(8, 40))
    shifts = draw(st.lists(st.floats(-0.2, 0.2), min_size=count, max_size=count))
    form = draw(st.lists(st.integers(-50, 50), min_size=count, max_size=count))
    directions = (np.arange(count) + np.array(shifts)) * (2 * np.pi / count)
    radii = 1 + np.array(form) / 1_000
    return np.column_stack((np.cos(directions), np.sin(directions))) * radii[:, None]


def _radii_and_deviations(found: Roundness, scale: float = 1.0) -> list[float]:
    circles = [getattr(found, name) for name in CIRCLES]
    return [scale * number for circle in circles for number in (circle.radius_mm, circle.deviation_mm)]


@settings(max_examples=60, deadline=None)
@given(sections(), st.floats(-1_000, 1_000), st.floats(-1_000, 1_000))
def test_form_is_the_same_wherever_the_section_lies(points: Floats, x_mm: float, y_mm: float) -> None:
    here, there = roundness(points), roundness(points + np.array([x_mm, y_mm]))
    # Radii are unique; so are the deviations of all but an inscribed circle that has a rival of the same size.
    assert _radii_and_deviations(there)[:-1] == pytest.approx(_radii_and_deviations(here)[:-1], abs=1e-10)
    assert (there.least_squares.x_mm - x_mm, there.least_squares.y_mm - y_mm) == pytest.approx(
        (here.least_squares.x_mm, here.least_squares.y_mm), abs=1e-10
    )


@settings(max_examples=60, deadline=None)
@given(sections(), st.floats(0, 360))
def test_form_is_the_same_however_the_section_is_turned(points: Floats, turn_deg: float) -> None:
    sine, cosine = math.sin(math.radians(turn_deg)), math.cos(math.radians(turn_deg))
    turned = roundness(points @ np.array([[cosine, sine], [-sine, cosine]]))
    assert _radii_and_deviations(turned)[:-1] == pytest.approx(_radii_and_deviations(roundness(points))[:-1], abs=1e-12)


@settings(max_examples=60, deadline=None)
@given(sections(), st.floats(1e-3, 1e3))
def test_form_grows_with_the_section(points: Floats, scale: float) -> None:
    larger, here = roundness(points * scale), roundness(points)
    assert _radii_and_deviations(larger)[:-1] == pytest.approx(
        _radii_and_deviations(here, scale)[:-1], abs=1e-12 * scale
    )


@settings(max_examples=60, deadline=None)
@given(sections())
def test_no_ring_about_another_centre_is_narrower_than_the_minimum_zone(points: Floats) -> None:
    found = roundness(points)
    for name in CIRCLES:
        assert found.minimum_zone.deviation_mm <= getattr(found, name).deviation_mm + 1e-15


@settings(max_examples=60, deadline=None)
@given(sections())
def test_the_circumscribed_circle_has_all_points_within_and_the_inscribed_one_none(points: Floats) -> None:
    found = roundness(points)
    outer, inner, zone = found.minimum_circumscribed, found.maximum_inscribed, found.minimum_zone
    assert inner is not None
    assert apart(np.array([[outer.x_mm, outer.y_mm]]), points).max() <= outer.radius_mm + 1e-14
    assert apart(np.array([[inner.x_mm, inner.y_mm]]), points).min() >= inner.radius_mm - 1e-14
    # Of points on a perfect circle all three are the same but for the last digit.
    assert inner.radius_mm - 1e-14 <= found.least_squares.radius_mm <= outer.radius_mm + 1e-14
    between = apart(np.array([[zone.x_mm, zone.y_mm]]), points)
    assert zone.inner_mm - 1e-14 <= between.min()
    assert between.max() <= zone.outer_mm + 1e-14
    assert zone.outer_mm - zone.inner_mm == pytest.approx(zone.deviation_mm, abs=1e-15)
    assert inner.radius_mm >= zone.inner_mm - 1e-14
    assert outer.radius_mm <= zone.outer_mm + 1e-14
