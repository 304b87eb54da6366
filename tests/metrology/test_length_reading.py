"""The budget of a length: its lines, its corrections at 20 °C, its laws."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.errors import MetrologyError
from service.metrology.length_reading import (
    LengthInstrument,
    PooledHistory,
    Temperatures,
    length_result,
    repeatability,
    temperature_contributions,
    temperature_correction,
)

MICROMETER = LengthInstrument(expanded_uncertainty_mm=0.002, k=2, resolution_mm=0.001, error_mm=0.001)
HISTORY = PooledHistory(deviation_mm=0.0012, degrees_of_freedom=30)
WARM_SHOP = Temperatures(
    part_c=25.0,
    part_half_width_k=1.0,
    instrument_less_part_k=-2.0,
    difference_half_width_k=1.0,
    part_expansion_per_k=17e-6,
    part_expansion_half_width_per_k=1e-6,
    instrument_expansion_per_k=11e-6,
    instrument_expansion_half_width_per_k=1e-6,
)


def test_each_thing_that_makes_a_reading_doubtful_has_its_own_line() -> None:
    found = length_result([25.011, 25.013, 25.012], MICROMETER, WARM_SHOP)
    assert [line.contribution.name for line in found.uncertainty.lines] == [
        "Calibration",
        "Resolution",
        "Repeatability",
        "Temperature of the part",
        "Temperature between instrument and part",
        "Expansion of the part",
        "Expansion of the instrument",
        "Temperature and expansion together",
    ]
    assert math.fsum(line.share for line in found.uncertainty.lines) == pytest.approx(1)


def test_a_budget_without_temperature_is_worked_by_hand() -> None:
    # u: 0.001, 0.001 ÷ √12, 0.001 ÷ √3 with 2 degrees of freedom: all three squares in units of 1e-6 mm².
    found = length_result([25.011, 25.013, 25.012], MICROMETER, None).uncertainty
    variance = 1 + 1 / 12 + 1 / 3
    assert found.combined == pytest.approx(0.001 * math.sqrt(variance))
    assert found.effective_dof == pytest.approx(variance**2 / ((1 / 3) ** 2 / 2))
    assert found.expanded == pytest.approx(found.k * found.combined)


def test_the_error_of_the_instrument_and_the_warmth_are_taken_off() -> None:
    # Part 5 K warm: 25.011 · 17e-6 · 5 longer than at 20 °C; the scale 3 K warm reads 25.011 · 11e-6 · 3 short.
    found = length_result([25.011, 25.013, 25.012], MICROMETER, WARM_SHOP)
    assert found.mean_reading_mm == pytest.approx(25.012)
    assert found.calibration_correction_mm == -0.001
    assert found.temperature_correction_mm == pytest.approx(25.011 * (11e-6 * 3 - 17e-6 * 5))
    assert found.length_mm == pytest.approx(25.011 + found.temperature_correction_mm)


def test_the_correction_is_that_of_the_exact_expansion_to_a_millionth_of_it() -> None:
    exact = 250 * (1 + 11e-6 * 3) / (1 + 17e-6 * 5) - 250
    assert temperature_correction(250, WARM_SHOP) == pytest.approx(exact, rel=1e-3)


@given(st.floats(0.1, 500), st.floats(-20, 20), st.floats(-5, 5), st.floats(1e-6, 3e-5), st.floats(1e-6, 3e-5))
def test_each_sensitivity_is_the_slope_of_the_correction(
    size: float, away: float, difference: float, part: float, instrument: float
) -> None:
    at = Temperatures(20 + away, 1, difference, 1, part, 1e-6, instrument, 1e-6)
    fields = ("part_c", "instrument_less_part_k", "part_expansion_per_k", "instrument_expansion_per_k")
    lines = temperature_contributions(size, at)
    for field, line, step in zip(fields, lines, (1e-2, 1e-2, 1e-8, 1e-8), strict=False):
        # The correction is linear in each input by itself, so the difference quotient is the slope.
        up, down = (replace(at, **{field: getattr(at, field) + sign * step}) for sign in (1, -1))
        slope = (temperature_correction(size, up) - temperature_correction(size, down)) / (2 * step)
        assert line.sensitivity == pytest.approx(slope, rel=1e-6, abs=1e-9 * size)


def test_one_reading_takes_the_scatter_of_the_history() -> None:
    scatter = repeatability([25.011], HISTORY)
    assert (scatter.standard_uncertainty, scatter.degrees_of_freedom, scatter.estimate) == (0.0012, 30, 25.011)


def test_at_20_degrees_a_doubtful_expansion_still_counts() -> None:
    at_20 = replace(WARM_SHOP, part_c=20.0, instrument_less_part_k=0.0)
    first, second, part, instrument, together = temperature_contributions(300.0, at_20)
    assert part.effect == instrument.effect == 0.0
    # Both coefficients meet the doubt of the temperature, the instrument's also that of the difference.
    assert together.effect == pytest.approx(300 * math.sqrt(3) * 1e-6 / math.sqrt(3) * 1 / math.sqrt(3))
    assert first.effect != 0
    assert second.effect != 0


@given(st.integers(2, 60), st.integers(1, 60), st.floats(1e-4, 0.05))
def test_more_readings_of_the_same_scatter_never_widen(count: int, more: int, scatter: float) -> None:
    def around(number: int) -> list[float]:
        """So many readings with a sample standard deviation of exactly the scatter."""
        low, high = number // 2, number - number // 2
        half = scatter * math.sqrt((number - 1) / number) / (2 * math.sqrt(low * high) / number)
        return [25 - half] * low + [25 + half] * high

    fewer = length_result(around(count), MICROMETER, WARM_SHOP).uncertainty
    many = length_result(around(count + more), MICROMETER, WARM_SHOP).uncertainty
    assert many.expanded <= fewer.expanded * (1 + 1e-9)
    assert many.k <= fewer.k * (1 + 1e-9)


@given(st.sampled_from(["part_half_width_k", "difference_half_width_k", "part_expansion_half_width_per_k"]))
def test_a_doubt_more_never_narrows(field: str) -> None:
    before = length_result([25.0], MICROMETER, WARM_SHOP, HISTORY).uncertainty.expanded
    doubled = replace(WARM_SHOP, **{field: 2 * getattr(WARM_SHOP, field)})
    assert length_result([25.0], MICROMETER, doubled, HISTORY).uncertainty.expanded > before


@pytest.mark.parametrize(
    ("readings", "instrument", "temperatures", "code", "field"),
    [
        ([], MICROMETER, None, "readings-missing", "readings"),
        ([25.0], MICROMETER, None, "history-missing", "readings"),
        ([25.0, math.nan], MICROMETER, None, "reading-not-finite", "readings"),
        ([25.0, 25.0], replace(MICROMETER, k=0), None, "coverage-factor-not-positive", "k"),
        ([25.0, 25.0], replace(MICROMETER, resolution_mm=-1), None, "uncertainty-negative", "resolution"),
        ([25.0, 25.0], MICROMETER, replace(WARM_SHOP, part_c=293.15), "temperature-absurd", "part_temperature"),
        ([25.0, 25.0], MICROMETER, replace(WARM_SHOP, part_c=math.nan), "temperature-absurd", "part_temperature"),
        (
            [25.0, 25.0],
            MICROMETER,
            replace(WARM_SHOP, part_expansion_per_k=11.5),
            "expansion-absurd",
            "part_expansion",
        ),
    ],
)
def test_what_cannot_be_measured_so_is_refused_by_its_field(
    readings: list[float],
    instrument: LengthInstrument,
    temperatures: Temperatures | None,
    code: str,
    field: str,
) -> None:
    with pytest.raises(MetrologyError) as refusal:
        length_result(readings, instrument, temperatures)
    assert (refusal.value.code, refusal.value.field) == (code, field)
