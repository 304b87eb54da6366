"""Ovality from two-point diameters."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.errors import MetrologyError
from service.metrology.ovality import DiameterReading, ovality, uncertainty_of_difference

diameters = st.decimals("0.001", "500", places=3)
sections = st.lists(
    st.builds(DiameterReading, st.integers(0, 179).map(Decimal), diameters),
    min_size=2,
    max_size=9,
    unique_by=lambda reading: reading.direction_deg,
)


def _section(*readings: tuple[str, str]) -> list[DiameterReading]:
    return [DiameterReading(Decimal(direction), Decimal(diameter)) for direction, diameter in readings]


def test_the_ovality_names_where_the_hole_is_widest_and_narrowest() -> None:
    found = ovality(_section(("0", "0.851"), ("45", "0.858"), ("90", "0.849"), ("135", "0.852")))
    assert found.ovality_mm == Decimal("0.009")
    assert found.largest.direction_deg == 45
    assert found.smallest.direction_deg == 90


@given(sections, diameters)
def test_a_larger_hole_of_the_same_form_has_the_same_ovality(section: list[DiameterReading], larger: Decimal) -> None:
    grown = [DiameterReading(reading.direction_deg, reading.diameter_mm + larger) for reading in section]
    assert ovality(grown).ovality_mm == ovality(section).ovality_mm >= 0


@given(sections, st.integers(1, 179))
def test_turning_the_part_does_not_change_its_ovality(section: list[DiameterReading], turn: int) -> None:
    turned = [DiameterReading(reading.direction_deg + turn, reading.diameter_mm) for reading in section]
    assert ovality(turned).ovality_mm == ovality(section).ovality_mm


@given(sections)
def test_one_direction_less_never_shows_more_ovality(section: list[DiameterReading]) -> None:
    if len(section) > 2:
        assert ovality(section[:-1]).ovality_mm <= ovality(section).ovality_mm


@pytest.mark.parametrize(
    ("section", "code"),
    [
        ([], "too-few-directions"),
        (_section(("0", "0.85")), "too-few-directions"),
        (_section(("0", "0.85"), ("NaN", "0.86")), "too-few-directions"),
        (_section(("0", "0.85"), ("180", "0.86")), "direction-twice"),
        (_section(("-90", "0.85"), ("90", "0.86")), "direction-twice"),
        (_section(("0", "0.85"), ("90", "0")), "diameter-not-positive"),
        (_section(("0", "-0.85"), ("90", "0.85")), "diameter-not-positive"),
        (_section(("0", "NaN"), ("90", "0.85")), "diameter-not-positive"),
    ],
)
def test_a_section_that_says_nothing_of_ovality_is_refused(section: list[DiameterReading], code: str) -> None:
    with pytest.raises(MetrologyError) as refusal:
        ovality(section)
    assert refusal.value.code == code
    assert refusal.value.field == "diameters"


@given(st.decimals(0, 10, places=4))
def test_the_square_of_the_uncertainty_of_a_difference_is_twice_the_square(expanded: Decimal) -> None:
    # JCGM 100 (GUM) 5.1.2: the variances of uncorrelated inputs add.
    found = uncertainty_of_difference(expanded)
    assert abs(found * found - 2 * expanded * expanded) < Decimal("1e-20")


@pytest.mark.parametrize("expanded", ["-0.001", "NaN", "Infinity"])
def test_an_uncertainty_is_zero_or_more(expanded: str) -> None:
    with pytest.raises(MetrologyError):
        uncertainty_of_difference(Decimal(expanded))
