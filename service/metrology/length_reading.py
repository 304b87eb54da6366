"""The budget of one length: what the instrument, the scatter of the readings and the temperature do to it.

Lengths in millimetres, temperatures in °C, expansion coefficients in 1/K. A length is stated at 20 °C (ISO 1).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from service.metrology.contributions import (
    INFINITE,
    Contribution,
    Distribution,
    from_expanded,
    from_half_width,
    from_history,
    from_readings,
    from_resolution,
)
from service.metrology.coverage import TWO_SIGMA
from service.metrology.errors import MetrologyError
from service.metrology.uncertainty_budget import ExpandedUncertainty, expand

REFERENCE_TEMPERATURE_C = 20.0
"""Standard reference temperature of sizes: ISO 1:2022."""

_FARTHEST_FROM_REFERENCE_K = 60.0
_LARGEST_EXPANSION_PER_K = 1e-3


@dataclass(frozen=True, slots=True)
class LengthInstrument:
    """What is known of the instrument: its certificate's U (mm) and k, its step, its error at this size (mm)."""

    expanded_uncertainty_mm: float
    k: float
    resolution_mm: float
    error_mm: float = 0.0
    """Indication less true size by the certificate, taken off the reading."""
    certificate_dof: float = INFINITE


@dataclass(frozen=True, slots=True)
class PooledHistory:
    """Scatter of this kind of measurement from earlier repeats: s_p in mm with its degrees of freedom."""

    deviation_mm: float
    degrees_of_freedom: float


@dataclass(frozen=True, slots=True)
class Temperatures:
    """Temperature of the part, how far the instrument's differs from it, and both expansion coefficients.

    Each half-width is a rectangle: the true value lies within ± it.
    """

    part_c: float
    part_half_width_k: float
    instrument_less_part_k: float
    difference_half_width_k: float
    part_expansion_per_k: float
    part_expansion_half_width_per_k: float
    instrument_expansion_per_k: float
    instrument_expansion_half_width_per_k: float


@dataclass(frozen=True, slots=True)
class LengthResult:
    """The length at 20 °C in mm, what was added to the mean reading to get it, and its uncertainty in mm."""

    length_mm: float
    mean_reading_mm: float
    calibration_correction_mm: float
    temperature_correction_mm: float
    uncertainty: ExpandedUncertainty


def length_result(
    readings_mm: Sequence[float],
    instrument: LengthInstrument,
    temperatures: Temperatures | None,
    history: PooledHistory | None = None,
    coverage: float = TWO_SIGMA,
) -> LengthResult:
    """The length at 20 °C of one to many readings with its budget, each contribution on a line of its own.

    Repeatability comes from two or more readings themselves (s ÷ √n, n − 1 degrees of freedom), from the
    history's pooled s where there is one reading. Without temperatures the part and the instrument are taken
    as made of one material and at one temperature: the caller says so, no line stands for it.

    Raises MetrologyError: `readings-missing` or `history-missing` (field `readings`), `temperature-absurd`,
    `expansion-absurd` (their fields), or what the contributions raise.
    """
    if not readings_mm:
        raise MetrologyError("readings-missing", "There is no reading: read the instrument at least once.", "readings")
    scatter = repeatability(readings_mm, history)
    mean = scatter.estimate
    lines = [
        from_expanded(
            "Calibration",
            instrument.expanded_uncertainty_mm,
            instrument.k,
            estimate=-instrument.error_mm,
            degrees_of_freedom=instrument.certificate_dof,
        ),
        from_resolution("Resolution", instrument.resolution_mm),
        scatter,
    ]
    size = mean - instrument.error_mm
    warmth = 0.0
    if temperatures is not None:
        lines += temperature_contributions(size, temperatures)
        warmth = temperature_correction(size, temperatures)
    return LengthResult(size + warmth, mean, -instrument.error_mm, warmth, expand(lines, coverage))


def repeatability(readings_mm: Sequence[float], history: PooledHistory | None) -> Contribution:
    """From the repeats where there are two or more, else from the history: JCGM 100, 4.2.3 and 4.2.4.

    Raises MetrologyError `history-missing` for one reading without a history.
    """
    if len(readings_mm) > 1:
        return from_readings("Repeatability", readings_mm)
    if history is None:
        raise MetrologyError(
            "history-missing",
            "One reading shows no scatter and this instrument has no history of repeats: read at least twice.",
            "readings",
        )
    return from_history("Repeatability", history.deviation_mm, history.degrees_of_freedom, estimate=readings_mm[0])


def temperature_correction(size_mm: float, temperatures: Temperatures) -> float:
    """What brings a length to 20 °C, mm: size · (α_i·θ_i − α_p·θ_p), θ the differences from 20 °C; ISO 1, GUM H.1."""
    away = temperatures.part_c - REFERENCE_TEMPERATURE_C
    instrument_away = away + temperatures.instrument_less_part_k
    return size_mm * (
        temperatures.instrument_expansion_per_k * instrument_away - temperatures.part_expansion_per_k * away
    )


def temperature_contributions(size_mm: float, temperatures: Temperatures) -> list[Contribution]:
    """The lines of the temperature: both coefficients, both temperatures, and their products (mm each).

    The temperature of the part and the difference between part and instrument are taken as the two independent
    inputs, as in GUM H.1. At 20 °C sharp the first-order effect of a doubtful coefficient is zero; the product
    of both doubts (JCGM 100, 5.1.2, note) is then what remains, so it has its own line.
    Raises MetrologyError `temperature-absurd` or `expansion-absurd`.
    """
    _check(temperatures)
    away = temperatures.part_c - REFERENCE_TEMPERATURE_C
    instrument_away = away + temperatures.instrument_less_part_k
    inputs = (
        ("Temperature of the part", away, temperatures.part_half_width_k,
         temperatures.instrument_expansion_per_k - temperatures.part_expansion_per_k),
        ("Temperature between instrument and part", temperatures.instrument_less_part_k,
         temperatures.difference_half_width_k, temperatures.instrument_expansion_per_k),
        ("Expansion of the part", temperatures.part_expansion_per_k,
         temperatures.part_expansion_half_width_per_k, -away),
        ("Expansion of the instrument", temperatures.instrument_expansion_per_k,
         temperatures.instrument_expansion_half_width_per_k, instrument_away),
    )  # fmt: skip
    first_order = [
        from_half_width(name, half_width, Distribution.RECTANGULAR, estimate=estimate, sensitivity=size_mm * per_unit)
        for name, estimate, half_width, per_unit in inputs
    ]
    part_c, difference, part, instrument = (line.standard_uncertainty for line in first_order)
    doubts = math.hypot(part * part_c, instrument * part_c, instrument * difference)
    products = Contribution("Temperature and expansion together", 0.0, doubts, size_mm)
    return [*first_order, products]


def _check(temperatures: Temperatures) -> None:
    away = temperatures.part_c - REFERENCE_TEMPERATURE_C
    for field, kelvin in (
        ("part_temperature", away),
        ("temperature_difference", temperatures.instrument_less_part_k),
    ):
        if not abs(kelvin) <= _FARTHEST_FROM_REFERENCE_K:
            raise MetrologyError(
                "temperature-absurd",
                "A part or an instrument is measured within 60 K of 20 °C: check the temperature and its unit.",
                field,
            )
    for field, coefficient in (
        ("part_expansion", temperatures.part_expansion_per_k),
        ("instrument_expansion", temperatures.instrument_expansion_per_k),
    ):
        if not 0.0 <= coefficient <= _LARGEST_EXPANSION_PER_K:
            raise MetrologyError(
                "expansion-absurd",
                f"An expansion coefficient of {coefficient:g} per kelvin is no metal's: enter it in 1/K.",
                field,
            )
