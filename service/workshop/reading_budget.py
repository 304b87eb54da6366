"""The uncertainty budget of a reading at the bench, from what was recorded with it: JCGM 100 (the GUM), ISO 1.

What is not known gets no line and a sentence instead. The value itself is never shifted: the errors on the
instrument's certificate are not taken off, and part and instrument are steel, which expands alike.
"""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal

from service.metrology.budget_rows import (
    calibration_row,
    history_row,
    repeats_row,
    resolution_row,
    temperature_rows,
)
from service.metrology.kept_budget import BudgetRow, UncertaintyBudget, kept_budget
from service.metrology.ovality import uncertainty_of_difference
from service.metrology.typed_numbers import plain
from service.workshop.entries import BenchStepRecorded, Examined
from service.workshop.limit_sheet import SizeCharacteristic
from service.workshop.measurements import BenchTemperature, InstrumentUse, OvalityMeasurement, SizeMeasurement
from service.workshop.step_results import OpeningPressureResult
from service.workshop.vocabulary import InstrumentKind

ONE = Decimal(1)
TWO_READINGS = Decimal(2).sqrt()
"""Sensitivity of a difference: two readings without correlation, which errs on the safe side; see DEVELOPERS.md."""
USUAL_BENCH = BenchTemperature(celsius=Decimal(20), half_width=Decimal(5), measured=False)
"""Where a workshop states nothing of its own: a room kept near 20 °C (common practice, no source)."""
_READ_WITHIN_K = Decimal(1)
"""A thermometer beside the part, which has lain there: common practice, no source."""
_FINEST = Decimal("0.00001")


def bench_temperature(measured_c: Decimal | None, usual: BenchTemperature) -> BenchTemperature:
    """What was read at the bench (°C), within ± 1 K, or the workshop's usual temperature where nothing was read."""
    if measured_c is None:
        return usual
    return BenchTemperature(celsius=measured_c, half_width=_READ_WITHIN_K, measured=True)


def instrument_rows(
    use: InstrumentUse, factor: Decimal, repeats: Sequence[Decimal] = ()
) -> tuple[list[BudgetRow], list[str]]:
    """Calibration, resolution and repeatability by the register, and what it does not say, each in a sentence.

    `factor` is the sensitivity of the result to the reading; `repeats` bring their own scatter instead.
    """
    rows, unknown = [_calibration(use, factor)], []
    if use.resolution is None:
        unknown.append(f"The register does not state the resolution of {use.code}.")
    else:
        rows.append(resolution_row(use.resolution, use.unit, f"{use.code} by the register", factor))
    if len(repeats) > 1:
        rows.append(repeats_row(repeats, use.unit, f"the {len(repeats)} readings themselves"))
    elif use.repeatability is not None and use.repeatability_readings is not None:
        source = f"{use.repeatability_readings} earlier readings by the register"
        rows.append(history_row(use.repeatability, use.repeatability_readings, use.unit, source, factor))
    else:
        unknown.append(f"Repeatability is not known: one reading shows none, and the register has none for {use.code}.")
    return rows, unknown


def size_budget(item: SizeCharacteristic, measured: SizeMeasurement) -> UncertaintyBudget:
    """Of the value that is judged: the mean of repeats of one place, or one reading in a place of its own.

    A length is taken at its larger limit, where it is decided, so that U does not move with the value. Raises
    MetrologyError for an uncertainty without meaning in the register.
    """
    use, repeats = measured.instrument, measured.readings if item.repeats else ()
    rows, unknown = instrument_rows(use, ONE, repeats)
    if item.unit == "mm":
        if measured.temperature is None:
            unknown.append("The temperature at the bench was not recorded.")
        else:
            longest = max(abs(bound) for bound in item.limits.bounds if bound is not None)
            rows += _of_temperature(longest, measured.temperature)
    return kept_budget(rows, item.unit, use.expanded_uncertainty, unknown)


def difference_budget(use: InstrumentUse) -> UncertaintyBudget:
    """Of the difference of two readings with one instrument, as an ovality is: every contribution counts twice.

    A temperature that both readings share cancels. U is at least U·√2 of the calibration.
    """
    rows, unknown = instrument_rows(use, TWO_READINGS)
    return kept_budget(rows, use.unit, _of_difference(use), unknown)


def form_budget(use: InstrumentUse) -> UncertaintyBudget:
    """Of a roundness deviation, a difference of two radii; a roundness instrument's certificate states it directly."""
    if use.kind is not InstrumentKind.ROUNDNESS_INSTRUMENT:
        return difference_budget(use)
    rows, unknown = instrument_rows(use, ONE)
    return kept_budget(rows, use.unit, use.expanded_uncertainty, unknown)


def pressure_budget(strokes_bar: Sequence[Decimal], gauge: InstrumentUse) -> UncertaintyBudget:
    """Of the mean opening pressure (bar) of several strokes: the gauge, and what the strokes scatter."""
    rows, unknown = instrument_rows(gauge, ONE, strokes_bar)
    return kept_budget(rows, "bar", gauge.expanded_uncertainty, unknown)


def calibration_budget(use: InstrumentUse, *, difference: bool = False) -> UncertaintyBudget:
    """The calibration's U and nothing else, exactly as verdicts were judged before budgets were kept."""
    factor, least = (TWO_READINGS, _of_difference(use)) if difference else (ONE, use.expanded_uncertainty)
    alone = ("It was judged by the calibration’s U alone: no budget was kept then.",)
    budget = kept_budget([_calibration(use, factor)], use.unit, least, alone)
    return replace(budget, k=use.k, expanded=least, by_calibration=False)


def judged_with(item: Examined) -> UncertaintyBudget | None:
    """What a stored examination was judged with: the budget kept with it, else the rule of the time before budgets.

    None where nothing was measured that has an uncertainty of this kind.
    """
    if item.outcome.uncertainty is not None:
        return item.outcome.uncertainty
    match item.measurement:
        case SizeMeasurement(instrument=use):
            return calibration_budget(use)
        case OvalityMeasurement(instrument=use):
            return calibration_budget(use, difference=True)
        case _:
            return None


def step_judged_with(item: BenchStepRecorded, gauge: InstrumentUse) -> UncertaintyBudget | None:
    """The same for a step on the rig, read from the gauge of its run."""
    if item.outcome.uncertainty is not None:
        return item.outcome.uncertainty
    return calibration_budget(gauge) if isinstance(item.result, OpeningPressureResult) else None


def _calibration(use: InstrumentUse, factor: Decimal) -> BudgetRow:
    return calibration_row(use.expanded_uncertainty, use.k, use.unit, f"certificate {use.calibration}", factor)


def _of_temperature(size_mm: Decimal, bench: BenchTemperature) -> list[BudgetRow]:
    whose = "measured at the bench" if bench.measured else "the workshop’s usual temperature"
    source = f"{plain(bench.celsius)} °C ± {plain(bench.half_width)} K, {whose}"
    return temperature_rows(size_mm, bench.celsius, bench.half_width, source)


def _of_difference(use: InstrumentUse) -> Decimal:
    return uncertainty_of_difference(use.expanded_uncertainty).quantize(_FINEST)
