"""Pressure traces against the outside: SciPy's regression and Student's t, a textbook's bulk modulus."""

import json
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from service.hydraulics.trace.analysis import statistics_of
from service.hydraulics.trace.leak import leak_mm3_per_s, volume_change_cm3
from service.hydraulics.trace.openings import Opening
from service.hydraulics.trace.regression import slope_of, student

pytestmark = pytest.mark.published
FIGURES = json.loads((Path(__file__).parent / "hydraulics.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("count", [8, 50, 200])
def test_slope_and_standard_error_are_those_of_scipy_where_readings_do_not_hang_together(count: int, seed: int) -> None:
    # Reference: scipy.stats.linregress, an implementation of its own.
    chance = np.random.default_rng(seed)
    times = np.sort(chance.uniform(0, 60, count))
    pressures = 250 - 0.4 * times + chance.normal(0, 2, count)
    found, reference = slope_of(times, pressures), stats.linregress(times, pressures)
    assert found.per_s == pytest.approx(reference.slope, rel=1e-10)
    assert found.plain_error == pytest.approx(reference.stderr, rel=1e-10)
    if found.correlation <= 0:
        half = stats.t.ppf(0.975, count - 2) * reference.stderr
        assert found.interval == pytest.approx((reference.slope - half, reference.slope + half), rel=1e-10)


def test_the_factor_of_the_interval_is_students() -> None:
    for freedom in (1, 2, 3, 3.7, 10, 58.2, 198):
        assert student(freedom) == pytest.approx(stats.t.ppf(0.975, freedom), rel=1e-9)


def test_the_interval_of_a_mean_opening_pressure_is_that_of_scipy() -> None:
    bars = (299.2, 300.4, 301.9, 298.8, 300.0)
    found = statistics_of(tuple(Opening(float(n), bar, 240.0, 0.01, 0.1) for n, bar in enumerate(bars)))
    assert found is not None
    assert found.standard_uncertainty_bar == pytest.approx(stats.sem(bars))
    assert found.interval == pytest.approx(stats.t.interval(0.95, 4, np.mean(bars), stats.sem(bars)))


def test_a_regression_on_time_and_temperature_is_that_of_lstsq() -> None:
    # Reference: numpy.linalg.lstsq on the plain design matrix.
    chance = np.random.default_rng(3)
    times, warmth = np.linspace(0, 60, 150), 20 + chance.normal(0, 0.3, 150)
    pressures = 250 - 0.3 * times + 7 * warmth + chance.normal(0, 1, 150)
    reference, *_ = np.linalg.lstsq(np.column_stack((np.ones(150), times, warmth)), pressures, rcond=None)
    found = slope_of(times, pressures, warmth)
    assert (found.per_s, *found.others) == pytest.approx(tuple(reference[1:]), rel=1e-9)


def test_a_hydraulic_press_compresses_its_oil_by_the_textbooks_volume() -> None:
    # Source and status in hydraulics.json.
    given = FIGURES["bulk_modulus_textbook"]
    shrinks = volume_change_cm3(
        given["volume_m3"] * 1e6 / 10, given["pressure_rise_Pa"] / 1e5, given["bulk_modulus_Pa"] / 1e9
    )
    assert shrinks == pytest.approx(-given["volume_change_m3"] * 1e6 / 10)


def test_a_leak_follows_from_the_bulk_modulus() -> None:
    given = FIGURES["leak_relation_worked"]
    rate_bar_per_min = given["drop_bar"] / given["time_s"] * 60
    found = leak_mm3_per_s(rate_bar_per_min, given["volume_cm3"], given["bulk_modulus_GPa"])
    assert found == pytest.approx(given["leak_mm3_per_s"])
