"""Unit factors against the SI Brochure and NIST SP 811, as collected in `units.json` with its sources."""

import json
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import pytest

from service.metrology.units import convert, parse_quantity

pytestmark = pytest.mark.published

FACTORS = json.loads((Path(__file__).parent / "units.json").read_text(encoding="utf-8"), parse_float=Decimal)

# Pascals per unit as exact ratios: bar 10^5, MPa 10^6, kgf/cm² 98066.5 (g_n = 9.80665 m/s²), psi from
# lb = 0.45359237 kg and in = 25.4 mm. Sources: units.json, "two sources agree".
PASCALS = {
    "bar": Fraction(100_000),
    "MPa": Fraction(1_000_000),
    "kgf/cm²": Fraction("98066.5"),
    "psi": Fraction(8896443230521, 1290320000),
}


def _to_28_digits(exact: Fraction) -> Decimal:
    return Decimal(exact.numerator) / Decimal(exact.denominator)


@pytest.mark.parametrize("given", PASCALS)
@pytest.mark.parametrize("wanted", PASCALS)
@pytest.mark.parametrize("value", ["1", "350", "0.001", "98.0665", "-14.5"])
def test_a_pressure_converts_by_the_exact_ratio_of_the_published_factors(given: str, wanted: str, value: str) -> None:
    exact = Fraction(value) * PASCALS[given] / PASCALS[wanted]
    assert convert(Decimal(value), given, wanted) == _to_28_digits(exact)


def test_the_exact_ratios_used_here_are_those_of_the_file() -> None:
    stated = {name.replace("cm2", "cm²"): text for name, text in FACTORS["Pa"].items()}
    for name in ("bar", "MPa", "kgf/cm²"):
        assert Fraction(stated[name].split()[0]) == PASCALS[name]
    assert "8896443230521/1290320000" in stated["psi"]


@pytest.mark.parametrize(("unit", "spelling"), [("MPa", "MPa"), ("kgf/cm2", "kgf/cm²"), ("psi", "psi")])
def test_one_unit_of_pressure_is_its_published_number_of_bar(unit: str, spelling: str) -> None:
    # units.json, bar_per; printed to 16 digits at most.
    published = Decimal(FACTORS["bar_per"][unit])
    assert abs(convert(Decimal(1), spelling, "bar") - published) <= Decimal("2e-17")


def test_one_bar_is_its_published_number_of_psi_and_of_kgf() -> None:
    # units.json, psi_per_bar, kgf/cm2_per_bar and psi_per_kgf/cm2; printed to 17 digits at most.
    assert abs(convert(Decimal(1), "bar", "psi") - FACTORS["psi_per_bar"]) < Decimal("1e-14")
    assert abs(convert(Decimal(1), "bar", "kgf/cm²") - FACTORS["kgf/cm2_per_bar"]) < Decimal("1e-15")
    assert abs(convert(Decimal(1), "kgf/cm²", "psi") - FACTORS["psi_per_kgf/cm2"]) < Decimal("1e-14")


@pytest.mark.parametrize(
    ("text", "wanted", "expected"),
    [
        # NIST SP 811 B.8: 1 in = 25.4 mm exactly; the rest are SI prefixes, minutes and hours (SI Brochure).
        ("1 in", "mm", "25.4"),
        ("127 mm", "in", "5"),
        ("850 µm", "mm", "0.85"),
        ("0.85 mm", "µm", "850"),
        ("1 in", "µm", "25400"),
        ("90 s", "min", "1.5"),
        ("2 h", "s", "7200"),
        ("35 MPa", "bar", "350"),
        ("100 kgf/cm²", "bar", "98.0665"),
    ],
)
def test_a_typed_quantity_converts_to_the_last_digit(text: str, wanted: str, expected: str) -> None:
    assert str(parse_quantity(text, wanted, "size")) == expected
