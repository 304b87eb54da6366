"""Pressures in the unit that the rig's dial shows. What is stored and judged stays in bar.

Conversion is exact (`service/metrology/units.py`). A limit is then rounded to the step below, so that it becomes
tighter: a least pressure up, a most pressure down. Whoever reads the dial and keeps to what is shown therefore keeps to
the plan; the judgement itself takes the plan's own figures in bar. A figure that was typed in the dial's unit is shown
as it was typed, since typed again it is the limit itself. A pressure on a sheet in bar is shown as it stands.
"""

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal

from service.metrology.typed_numbers import plain
from service.metrology.units import convert, parse_quantity, unit_name

_STEPS = {"MPa": Decimal("0.01"), "kgf/cm²": Decimal("0.1"), "psi": Decimal(1)}
"""About a tenth of a bar in each unit: finer than the dial of a test rig is read (common practice, no source)."""
_MILLIBAR = Decimal("0.001")


def at_least(bar: Decimal, unit: str) -> str:
    """A least pressure given in bar, in the unit, rounded up: `356.9 kgf/cm²`."""
    return _shown(bar, unit, ROUND_CEILING)


def at_most(bar: Decimal, unit: str) -> str:
    """A most pressure, or a most difference of pressures, given in bar, in the unit, rounded down."""
    return _shown(bar, unit, ROUND_FLOOR)


def about(*bars: Decimal, unit: str) -> str:
    """Pressures given in bar that are no limits, such as those read, to the nearest step: `356.9, 357.9 kgf/cm²`."""
    return f"{', '.join(_number(bar, unit, ROUND_HALF_EVEN) for bar in bars)} {unit_name(unit)}"


def between(lower_bar: Decimal, upper_bar: Decimal, unit: str) -> str:
    """A band given in bar, in the unit, each end rounded inwards: `346.8 to 367.0 kgf/cm²`."""
    lower, upper = _number(lower_bar, unit, ROUND_CEILING), _number(upper_bar, unit, ROUND_FLOOR)
    return f"{lower} to {upper} {unit_name(unit)}"


def is_bar(unit: str) -> bool:
    """Whether nothing is to be converted."""
    return unit_name(unit) == "bar"


def typed_pressure_bar(text: str, unit: str, field: str) -> Decimal:
    """What was typed, in bar: a bare number is in the dial's unit, another may be typed with the number.

    Finer than a thousandth of a bar, which no dial shows, is rounded off. Raises MetrologyError as `parse_quantity`.
    """
    bar = parse_quantity(text, "bar", field, bare=unit)
    return bar if bar == bar.quantize(_MILLIBAR) else bar.quantize(_MILLIBAR)


def _shown(bar: Decimal, unit: str, rounding: str) -> str:
    return f"{_number(bar, unit, rounding)} {unit_name(unit)}"


def _number(bar: Decimal, unit: str, rounding: str) -> str:
    step = _STEPS.get(unit_name(unit))
    if step is None:
        return plain(bar)
    exact = convert(bar, "bar", unit)
    near = exact.quantize(step, ROUND_HALF_EVEN)
    typed = typed_pressure_bar(plain(near), unit, "pressure")
    kept = {ROUND_CEILING: typed >= bar, ROUND_FLOOR: typed <= bar}.get(rounding, True)
    return plain(near if kept else exact.quantize(step, rounding))
