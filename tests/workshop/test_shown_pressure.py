"""Pressures on the dial of the rig: no limit is loosened by showing it in another unit."""

from decimal import Decimal as D
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.errors import MetrologyError
from service.metrology.units import parse_quantity
from service.workshop.shown_pressure import about, at_least, at_most, between, typed_pressure_bar
from service.workshop.test_rig import PRESSURE_UNITS

# Pascals, exact: NIST SP 811, appendix B, and tests/published/units.json, where two sources agree.
PASCALS = {"bar": 100_000, "MPa": 1_000_000, "kgf/cm²": Fraction("98066.5"), "psi": Fraction(8896443230521, 1290320000)}
units = st.sampled_from(PRESSURE_UNITS)
pressures = st.decimals(D("0.1"), D(3000), places=2)


def in_bar(shown: str) -> Fraction:
    """Back again by the published factors."""
    number, unit = shown.split(" ")
    return Fraction(number) * PASCALS[unit] / PASCALS["bar"]


@given(pressures, units)
def test_who_keeps_to_the_least_or_the_most_on_the_dial_keeps_to_the_plan_and_loses_under_a_fifth_of_a_bar(
    bar: D, unit: str
) -> None:
    shown_least, shown_most = at_least(bar, unit), at_most(bar, unit)
    typed_least, typed_most = (typed_pressure_bar(text, unit, "pressure") for text in (shown_least, shown_most))
    assert typed_most <= bar <= typed_least
    # What is typed is taken to a thousandth of a bar, so by the published factors it is kept to half of one.
    least, most, slack = in_bar(shown_least), in_bar(shown_most), Fraction("0.0005")
    assert most - slack <= Fraction(bar) <= least + slack
    assert least - most < Fraction("0.2")
    assert abs(in_bar(about(bar, unit=unit)) - Fraction(bar)) <= Fraction("0.1") / 2


@pytest.mark.parametrize(
    ("unit", "hold", "band", "spread"),
    [
        ("bar", "300 bar", "345 to 360 bar", "5 bar"),
        ("MPa", "30 MPa", "34.5 to 36 MPa", "0.5 MPa"),
        # 300 bar are 305.91 kgf/cm² and 4351.1 psi; 345 and 360 bar are 351.80, 367.10 and 5003.8, 5221.4.
        ("kgf/cm²", "306 kgf/cm²", "351.9 to 367 kgf/cm²", "5 kgf/cm²"),
        ("kgf/cm2", "306 kgf/cm²", "351.9 to 367 kgf/cm²", "5 kgf/cm²"),
        ("psi", "4352 psi", "5004 to 5221 psi", "72 psi"),
    ],
)
def test_a_plan_in_bar_is_read_off_each_dial(unit: str, hold: str, band: str, spread: str) -> None:
    assert at_least(D(300), unit) == hold
    assert between(D(345), D(360), unit) == band
    assert at_most(D(5), unit) == spread


@pytest.mark.parametrize(("typed", "unit"), [("5000 psi", "psi"), ("4800 psi", "psi"), ("350.5 kgf/cm²", "kgf/cm²")])
def test_a_limit_typed_in_the_unit_of_the_dial_is_shown_as_it_was_typed(typed: str, unit: str) -> None:
    for bar in (parse_quantity(typed, "bar", "limit"), typed_pressure_bar(typed, unit, "limit")):
        assert at_most(bar, unit) == typed
    assert at_least(typed_pressure_bar(typed, unit, "limit"), unit) == typed


@given(st.integers(1, 30_000), units)
def test_a_bare_number_is_in_the_unit_of_the_dial_and_comes_to_a_thousandth_of_a_bar(number: int, unit: str) -> None:
    exact = Fraction(number) * PASCALS[unit] / PASCALS["bar"]
    bar = typed_pressure_bar(str(number), unit, "pressure")
    assert abs(Fraction(bar) - exact) <= Fraction("0.0005")
    assert typed_pressure_bar(f"{number} {unit}", "bar", "pressure") == bar


def test_another_unit_may_be_typed_with_the_number() -> None:
    assert typed_pressure_bar("35,1 MPa", "psi", "pressure") == D(351)
    assert str(typed_pressure_bar("350.25", "bar", "pressure")) == "350.25"
    with pytest.raises(MetrologyError, match="use bar, MPa, kgf/cm² or psi"):
        typed_pressure_bar("300 Nm", "psi", "pressure")
