"""Quantities in the units of the shop floor."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.errors import MetrologyError
from service.metrology.units import UNIT_NAMES, check_magnitude, convert, parse_quantity, unit_name

values = st.decimals(min_value=-(10**6), max_value=10**6, places=4)


@pytest.mark.parametrize(
    ("typed", "unit", "expected"),
    [
        ("0.85", "mm", "0.85"),
        ("0,85 mm", "mm", "0.85"),
        ("0,85mm", "mm", "0.85"),
        ("850 µm", "mm", "0.85"),
        ("850 μm", "mm", "0.85"),
        ("850 um", "mm", "0.85"),
        ("350 bar", "bar", "350"),
        ("35 MPa", "bar", "350"),
        ('1 "', "mm", "25.4"),
        ("5 Nm", "N·m", "5"),
        ("5 N m", "N·m", "5"),
        ("21 °C", "°C", "21"),
        ("12 mL/min", "ml/min", "12"),
        ("180 N/mm", "N/mm", "180"),
        ("−5 °C", "degC", "-5"),
        ("100 kg/cm2", "bar", "98.0665"),
    ],
)
def test_a_quantity_is_read_in_the_unit_that_is_wanted(typed: str, unit: str, expected: str) -> None:
    assert parse_quantity(typed, unit, "size") == Decimal(expected)


@pytest.mark.parametrize(
    ("typed", "unit", "code", "named"),
    [
        ("350 mPa", "bar", "unit-unknown", "bar, MPa, kgf/cm² or psi"),
        ("350 bara", "bar", "unit-unknown", "bar, MPa, kgf/cm² or psi"),
        ("3 furlongs", "mm", "unit-unknown", "mm, µm or in"),
        ("350 bar", "mm", "unit-wrong-dimension", "mm, µm or in"),
        ("5 N·m", "N", "unit-wrong-dimension", "use N."),
        ("5 s", "ml/min", "unit-wrong-dimension", "use ml/min."),
        ("5 mm", "", "unit-unknown", "use bar"),
        ("mm", "mm", "number-unreadable", "type digits"),
        ("NaN mm", "mm", "number-unreadable", "type digits"),
        ("inf", "mm", "number-unreadable", "type digits"),
        ("", "mm", "number-missing", "type a number"),
        ("1.000,5 mm", "mm", "number-ambiguous", "one decimal comma"),
        ("0x10 mm", "mm", "unit-unknown", "mm, µm or in"),
        ("5 " + "m" * 80, "mm", "number-unreadable", "type a number"),
    ],
)
def test_a_wrong_unit_is_refused_with_the_spellings_that_are_taken(
    typed: str, unit: str, code: str, named: str
) -> None:
    with pytest.raises(MetrologyError) as refusal:
        parse_quantity(typed, unit, "spray_hole")
    assert refusal.value.code == code
    assert refusal.value.field == "spray_hole"
    assert named in refusal.value.sentence


@given(values, st.sampled_from(["bar", "MPa", "kgf/cm²", "psi"]), st.sampled_from(["bar", "MPa", "kgf/cm²", "psi"]))
def test_a_pressure_converted_there_and_back_is_the_same_to_24_digits(value: Decimal, there: str, back: str) -> None:
    returned = convert(convert(value, there, back), back, there)
    assert abs(returned - value) <= abs(value) * Decimal("1e-24")


@given(
    values, st.sampled_from([("mm", "µm"), ("bar", "MPa"), ("in", "mm"), ("in", "µm"), ("h", "s"), ("kgf/cm²", "bar")])
)
def test_a_conversion_whose_result_ends_is_exact_there_and_back(value: Decimal, units: tuple[str, str]) -> None:
    given_unit, wanted = units
    assert convert(convert(value, given_unit, wanted), wanted, given_unit) == value


@given(values, values, st.sampled_from(["MPa", "psi", "kgf/cm²"]))
def test_a_conversion_keeps_the_order_of_pressures(one: Decimal, other: Decimal, unit: str) -> None:
    assert (one < other) == (convert(one, unit, "bar") < convert(other, unit, "bar"))


@given(values, st.sampled_from(UNIT_NAMES))
def test_a_number_typed_with_its_own_unit_is_the_number_as_it_stands(value: Decimal, unit: str) -> None:
    assert parse_quantity(f"{value:f} {unit}", unit, "size") == value
    assert convert(value, unit, unit) == value


def test_a_spelling_leads_to_the_name_that_is_printed() -> None:
    assert unit_name("kg/cm2") == "kgf/cm²"
    assert unit_name("um") == "µm"


def test_a_spray_hole_of_nine_metres_is_refused_with_its_bounds() -> None:
    with pytest.raises(MetrologyError) as refusal:
        check_magnitude(Decimal(9000), Decimal("0.05"), Decimal(3), "spray_hole", "mm")
    assert refusal.value.code == "magnitude-absurd"
    assert refusal.value.field == "spray_hole"
    assert "9000 mm" in refusal.value.sentence
    assert "0.05 and 3 mm" in refusal.value.sentence


@pytest.mark.parametrize("value", ["0.05", "0.85", "3"])
def test_a_believable_size_passes_with_its_bounds_included(value: str) -> None:
    check_magnitude(Decimal(value), Decimal("0.05"), Decimal(3), "spray_hole", "mm")


@pytest.mark.parametrize("value", ["0.0499", "3.0001", "-1", "NaN", "Infinity"])
def test_a_size_just_outside_the_believable_is_refused(value: str) -> None:
    with pytest.raises(MetrologyError):
        check_magnitude(Decimal(value), Decimal("0.05"), Decimal(3), "spray_hole", "mm")
