"""Units as the shop floor writes them: a closed list of spellings, exact factors, one Pint registry.

Pint is never shown what a person typed: it reads `1 Nm` as a thousand metres per kilogram, and `mPa` as a
millionth of what was meant. A spelling is looked up here first and refused when it is not on the list.
Pressures are gauge pressures, as every test rig shows them; absolute pressure has no spelling here.
"""

import re
from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction

import pint

from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import field_in_words, parse_decimal, plain

_REGISTRY: pint.UnitRegistry[Decimal] = pint.UnitRegistry(non_int_type=Decimal)
_TWENTY_EIGHT_DIGITS = Context(prec=28)
_TYPED_QUANTITY = re.compile(r"(?P<number>[+\-−‒–]?[0-9.,]+(?:[eE][+-]?[0-9]+)?)\s*(?P<unit>.*)", re.DOTALL)
_LONGEST_QUANTITY = 60


@dataclass(frozen=True, slots=True)
class _Unit:
    """One unit: its spellings, its dimension as Pint names it, its exact size in SI base units."""

    name: str
    spellings: tuple[str, ...]
    dimension: str
    factor: Fraction


def _unit(name: str, other_spellings: str, over: str, under: str = "") -> _Unit:
    # Each Pint unit by itself has a factor that ends, so the ratio of their products is exact; psi as a whole
    # has none, and Pint's own `inch**2` is already off in its 28th digit.
    whole = _REGISTRY.Quantity(Decimal(1), "dimensionless")
    factor = Fraction(1)
    for pint_name in over.split():
        part = _REGISTRY.Quantity(Decimal(1), pint_name)
        whole, factor = whole * part, factor * Fraction(part.to_base_units().magnitude)
    for pint_name in under.split():
        part = _REGISTRY.Quantity(Decimal(1), pint_name)
        whole, factor = whole / part, factor / Fraction(part.to_base_units().magnitude)
    return _Unit(name, (name, *other_spellings.split("|")), str(whole.dimensionality), factor)


_UNITS = (
    _unit("bar", "Bar|BAR|barg|bar(g)", "bar"),
    _unit("MPa", "Mpa|MPA", "megapascal"),
    _unit("kgf/cm²", "kgf/cm2|kgf/cm^2|kg/cm²|kg/cm2|kp/cm²|kp/cm2", "kilogram_force", "centimeter centimeter"),
    _unit("psi", "PSI|Psi|psig|lbf/in²|lbf/in2", "pound_force", "inch inch"),
    _unit("mm", "MM|millimetre|millimetres|millimeter|millimeters", "millimeter"),
    _unit("µm", "μm|um|micron|microns|micrometre|micrometres|micrometer|micrometers", "micrometer"),
    _unit("in", 'inch|inches|"|″|in.', "inch"),
    _unit("N", "newton|newtons", "newton"),
    _unit("N/mm", "N/MM", "newton", "millimeter"),
    _unit("N·m", "Nm|N m|N*m|N.m|N⋅m|N-m", "newton meter"),
    _unit("s", "sec|second|seconds", "second"),
    _unit("min", "minute|minutes", "minute"),
    _unit("h", "hour|hours|hr|hrs", "hour"),
    _unit("ml", "mL|ML|cm³|cm3|cc|millilitre|millilitres|milliliter|milliliters", "milliliter"),
    _unit("ml/min", "mL/min|cm³/min|cm3/min|cc/min", "milliliter", "minute"),
    _unit("°C", "degC|deg C|℃|C", "kelvin"),
)
_BY_SPELLING = {spelling: unit for unit in _UNITS for spelling in unit.spellings}

UNIT_NAMES = tuple(unit.name for unit in _UNITS)
"""The units that this service knows, each in the spelling that it prints."""


def parse_quantity(text: str, unit: str, field: str, bare: str = "") -> Decimal:
    """Read typed text such as `0.85`, `0,85 mm`, `850 µm` or `5000 psi` as a Decimal in the wanted unit.

    A bare number is in the unit `bare`, where that is '' in the wanted one. Raises MetrologyError with code
    `unit-unknown` or `unit-wrong-dimension`, naming the spellings that are accepted, or the codes of `parse_decimal`.
    """
    wanted = _lookup(unit, field)
    typed = text.strip()
    match = _TYPED_QUANTITY.fullmatch(typed) if len(typed) <= _LONGEST_QUANTITY else None
    if match is None:
        return parse_decimal(typed, field)
    number = parse_decimal(match["number"], field)
    if not match["unit"]:
        return _converted(number, _lookup(bare or unit, field), wanted, field)
    given = _BY_SPELLING.get(" ".join(match["unit"].split()))
    if given is None:
        raise MetrologyError(
            "unit-unknown",
            f"{field_in_words(field)} has the unit “{match['unit']}”, which is not known here: "
            f"use {_spellings_like(wanted)}.",
            field,
        )
    return _converted(number, given, wanted, field)


def convert(value: Decimal, from_unit: str, to_unit: str) -> Decimal:
    """Convert between two units of one dimension: exact where the result ends, else to 28 digits.

    Factors by Pint from the defining constants (SI Brochure, NIST SP 811). Temperatures are only ever in °C.
    """
    return _converted(value, _lookup(from_unit, None), _lookup(to_unit, None), None)


def unit_name(spelling: str) -> str:
    """The printed spelling of a unit given in any accepted spelling: `kg/cm2` is `kgf/cm²`."""
    return _lookup(spelling, None).name


def check_magnitude(value: Decimal, lower: Decimal, upper: Decimal, field: str, unit: str) -> None:
    """Refuse a value that nobody can have measured, such as a spray hole of 9 m; the ends are allowed.

    Raises MetrologyError with code `magnitude-absurd`.
    """
    if not value.is_finite() or not lower <= value <= upper:
        raise MetrologyError(
            "magnitude-absurd",
            f"{field_in_words(field)} reads {plain(value)} {unit}, but lies between {plain(lower)} and "
            f"{plain(upper)} {unit}: check the digits, the decimal point and the unit.",
            field,
        )


def _converted(value: Decimal, given: _Unit, wanted: _Unit, field: str | None) -> Decimal:
    if given.dimension != wanted.dimension:
        where = f"{field_in_words(field)} is" if field else "The value is"
        raise MetrologyError(
            "unit-wrong-dimension",
            f"{where} in {given.name}, which does not measure the same thing as {wanted.name}: "
            f"use {_spellings_like(wanted)}.",
            field,
        )
    if given is wanted:
        return value
    exact = Fraction(value) * given.factor / wanted.factor
    ratio = _TWENTY_EIGHT_DIGITS.divide(Decimal(exact.numerator), Decimal(exact.denominator))
    return Decimal(plain(ratio))


def _lookup(spelling: str, field: str | None) -> _Unit:
    unit = _BY_SPELLING.get(spelling)
    if unit is None:
        raise MetrologyError(
            "unit-unknown", f"“{spelling}” is not a unit known here: use {', '.join(UNIT_NAMES)}.", field
        )
    return unit


def _spellings_like(wanted: _Unit) -> str:
    names = [unit.name for unit in _UNITS if unit.dimension == wanted.dimension]
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} or {names[-1]}"
