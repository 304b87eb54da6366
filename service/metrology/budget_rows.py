"""The usual rows of a reading's budget: calibration, resolution, repeatability, temperature; JCGM 100 and ISO 1.

Every `factor` is the row's sensitivity: 1 for a reading, √2 for the difference of two readings, the slope of a flow.
"""

import math
from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from statistics import stdev

from service.metrology.contributions import (
    Contribution,
    Distribution,
    from_expanded,
    from_half_width,
    from_history,
    from_readings,
)
from service.metrology.contributions import from_resolution as _from_resolution
from service.metrology.kept_budget import BudgetRow, Evaluation
from service.metrology.length_reading import Temperatures, temperature_contributions

STEEL_PER_K = 11.5e-6
"""Expansion of steel: (11.5 ± 1.0)·10⁻⁶ per kelvin for steel gauge blocks, ISO 3650:1998 (from memory)."""
_INSTRUMENT_HALF_WIDTH_PER_K = 1.0e-6
_PART_HALF_WIDTH_PER_K = 1.5e-6
"""The steels of nozzles and needles differ more than gauge blocks do: common practice, no source."""
_DIFFERENCE_HALF_WIDTH_K = 1.0
"""Part and instrument lay on the same bench: common practice, no source."""
_MICRO = 1e6
_ONE = Decimal(1)


def calibration_row(expanded: Decimal, k: Decimal, unit: str, source: str, factor: Decimal = _ONE) -> BudgetRow:
    """The certificate's U ÷ k: JCGM 100, 4.3.3. Raises MetrologyError as `from_expanded` does."""
    known = from_expanded("Calibration", float(expanded), float(k), sensitivity=float(factor))
    return BudgetRow(known, Evaluation.B, float(expanded), unit, float(k), source)


def resolution_row(step: Decimal, unit: str, source: str, factor: Decimal = _ONE) -> BudgetRow:
    """A rectangle of ± half the step: JCGM 100, F.2.2.1. Raises MetrologyError as `from_resolution` does."""
    known = _from_resolution("Resolution", float(step), sensitivity=float(factor))
    return BudgetRow(known, Evaluation.B, float(step) / 2, unit, math.sqrt(3.0), source)


def repeats_row(readings: Sequence[Decimal], unit: str, source: str) -> BudgetRow:
    """The mean of n repeats, s ÷ √n with n − 1 degrees of freedom: JCGM 100, 4.2.3.

    Raises MetrologyError `too-few-readings` for fewer than two.
    """
    numbers = [float(one) for one in readings]
    known = from_readings("Repeatability", numbers)
    return BudgetRow(known, Evaluation.A, stdev(numbers), unit, math.sqrt(len(numbers)), source)


def history_row(deviation: Decimal, readings: int, unit: str, source: str, factor: Decimal = _ONE) -> BudgetRow:
    """One reading now, with the standard deviation of `readings` earlier ones: JCGM 100, 4.2.4.

    Raises MetrologyError as `from_history` does; fewer than two earlier readings have no degree of freedom.
    """
    known = from_history("Repeatability", float(deviation), readings - 1)
    return BudgetRow(replace(known, sensitivity=float(factor)), Evaluation.A, float(deviation), unit, 1.0, source)


def timing_row(half_width_s: Decimal, source: str, factor: Decimal) -> BudgetRow:
    """A time that is off by no more than ± the half-width (s), anything inside being as likely: JCGM 100, 4.3.7.

    Raises MetrologyError as `from_half_width` does.
    """
    known = from_half_width("Time", float(half_width_s), Distribution.RECTANGULAR, sensitivity=float(factor))
    return BudgetRow(known, Evaluation.B, float(half_width_s), "s", math.sqrt(3.0), source)


def temperature_rows(size_mm: Decimal, bench_c: Decimal, half_width_k: Decimal, source: str) -> list[BudgetRow]:
    """What the bench's temperature (°C, within ± the half-width) does to a steel size read with a steel instrument.

    Both expand alike, so no correction follows; what is not known of their temperatures and expansions remains
    (GUM H.1, ISO 1). Rows without any effect are left out: at 20 °C sharp that of the expansion, for one.
    Raises MetrologyError as `temperature_contributions` does.
    """
    known = Temperatures(
        part_c=float(bench_c),
        part_half_width_k=float(half_width_k),
        instrument_less_part_k=0.0,
        difference_half_width_k=_DIFFERENCE_HALF_WIDTH_K,
        part_expansion_per_k=STEEL_PER_K,
        part_expansion_half_width_per_k=_PART_HALF_WIDTH_PER_K,
        instrument_expansion_per_k=STEEL_PER_K,
        instrument_expansion_half_width_per_k=_INSTRUMENT_HALF_WIDTH_PER_K,
    )
    lines = temperature_contributions(float(size_mm), known)
    return [_temperature_row(line, source) for line in lines if line.effect != 0.0]


def _temperature_row(line: Contribution, source: str) -> BudgetRow:
    if line.name.startswith("Expansion"):
        # In µm/(m·K), as the tables of materials have it.
        line = replace(
            line,
            standard_uncertainty=line.standard_uncertainty * _MICRO,
            sensitivity=line.sensitivity / _MICRO,
        )
        unit = "µm/(m·K)"
    else:
        unit = "K" if line.name.startswith("Temperature between") or line.name.endswith("part") else ""
    divisor = math.sqrt(3.0) if line.distribution is Distribution.RECTANGULAR else 1.0
    return BudgetRow(line, Evaluation.B, line.standard_uncertainty * divisor, unit, divisor, source)
