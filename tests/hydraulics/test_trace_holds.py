"""Holds of invented traces whose truth is known: decay rates within 2 % at 1 % noise, and intervals that hold it."""

import numpy as np
import pytest

from service.hydraulics.trace.analysis import Rig, TraceAnalysis, analyse
from service.hydraulics.trace.leak import leak_mm3_per_s
from service.hydraulics.trace.reading import Trace
from service.hydraulics.trace.regression import slope_of
from service.hydraulics.trace.warmth import TemperatureUse
from service.metrology.measured_points import Floats
from tests.hydraulics.invented_traces import Bench


def held(bench: Bench, seconds: float, rate: float, settling: float = 0.0, noise: float = 0.01) -> TraceAnalysis:
    bench.rest(0.5).pump(250, 4).hold(seconds, rate, settling).pump(280, 0.5).pump(300, 1).open(240).relieve()
    times, pressures = bench.made(noise)
    return analyse(Trace(times, pressures, None, len(times), 0), Rig(50.0, 1.5))


@pytest.mark.parametrize("uneven", [0.0, 0.9])
@pytest.mark.parametrize(("rate_hz", "seconds", "rate"), [(1000, 30, 40), (1000, 60, 15), (200, 60, 20), (100, 60, 40)])
def test_the_decay_is_within_two_percent_at_one_percent_noise(
    rate_hz: float, seconds: float, rate: float, uneven: float
) -> None:
    for seed in range(8):
        bench = Bench(rate_hz=rate_hz, seed=seed, uneven=uneven)
        (hold,) = held(bench, seconds, rate).holds
        assert hold.rate_bar_per_min == pytest.approx(rate, rel=0.02)
        assert hold.start_s == pytest.approx(4.5, abs=1.5)
        assert hold.end_s == pytest.approx(4.5 + seconds, abs=1.5)


def test_nine_intervals_in_ten_and_more_hold_the_true_rate() -> None:
    holding = 0
    for seed in range(60):
        (hold,) = held(Bench(rate_hz=100, seed=seed, uneven=0.8), 30, 30).holds
        holding += hold.interval[0] <= 30 <= hold.interval[1]
    assert holding >= 53


def test_correlated_noise_widens_the_interval_so_that_it_still_holds_the_truth() -> None:
    times = np.arange(3000) / 100
    holding, widths = 0, []
    for seed in range(60):
        chance = np.random.default_rng(seed)
        wander = np.zeros(3000)
        for place, step in enumerate(chance.normal(0, 0.1, 2999), start=1):
            wander[place] = 0.98 * wander[place - 1] + step
        found = slope_of(times, 250 - 0.5 * times + wander)
        holding += found.interval[0] <= -0.5 <= found.interval[1]
        widths.append(found.standard_error / found.plain_error)
    assert holding >= 51
    assert np.median(widths) > 1.3


@pytest.mark.parametrize("noise", [0.01, 0.001, 0.0])
def test_settling_at_the_start_is_left_out(noise: float) -> None:
    for seed in range(3):
        (hold,) = held(Bench(rate_hz=500, seed=seed), 60, 20, settling=8.0, noise=noise).holds
        assert hold.steady_from_s - hold.start_s == pytest.approx(6, abs=1.2)
        assert hold.rate_bar_per_min == pytest.approx(20, rel=0.02)
        assert not hold.bends


def test_a_leak_that_follows_the_pressure_is_no_settling() -> None:
    times = np.arange(0, 70, 0.005)
    pumped = np.minimum(times / 4, 1) * 250
    decaying = np.where(times > 4, 250 * np.exp(-(times - 4) / 40), pumped)
    chance = np.random.default_rng(1)
    (hold,) = analyse(Trace(times, decaying + chance.normal(0, 0.3, len(times)), None, len(times), 0)).holds
    assert hold.bends
    assert hold.steady_from_s - hold.start_s == pytest.approx(1, abs=0.1)


def warmed(course: str, seconds: float = 60.0) -> tuple[Floats, Floats, Floats]:
    """Times, pressures that fall by 12 bar/min and gain 8 bar for each degree, and the temperature."""
    times = np.arange(0, seconds, 0.01)
    swing = {"wave": 0.4 * np.sin(times / 6), "line": 0.01 * times, "steady": 0.0 * times}[course]
    chance = np.random.default_rng(7)
    pressures = 280 - 12 / 60 * times + 8 * swing + chance.normal(0, 0.3, len(times))
    return times, pressures, 22 + swing + chance.normal(0, 0.002, len(times))


@pytest.mark.parametrize(
    ("course", "given", "use"),
    [
        ("wave", None, TemperatureUse.FOUND),
        ("wave", 8.0, TemperatureUse.GIVEN),
        ("line", 8.0, TemperatureUse.GIVEN),
        ("steady", None, TemperatureUse.STEADY),
    ],
)
def test_the_drift_of_temperature_is_taken_off_the_decay(course: str, given: float | None, use: TemperatureUse) -> None:
    times, pressures, warmth = warmed(course)
    (hold,) = analyse(Trace(times, pressures, warmth, len(times), 0), Rig(bar_per_kelvin=given)).holds
    assert hold.temperature is use
    assert hold.rate_bar_per_min == pytest.approx(12, rel=0.02)
    assert hold.interval[0] <= 12 <= hold.interval[1] or hold.rate_bar_per_min == pytest.approx(12, rel=0.005)


def test_a_temperature_that_only_follows_the_time_is_not_corrected_and_that_is_said() -> None:
    times, pressures, warmth = warmed("line")
    (hold,) = analyse(Trace(times, pressures, warmth, len(times), 0)).holds
    assert hold.temperature is TemperatureUse.INSEPARABLE
    assert hold.rate_bar_per_min == pytest.approx(12 - 8 * 0.6, rel=0.02)
    assert hold.rate_bar_per_min == hold.uncorrected_bar_per_min


def test_holes_in_the_temperature_are_bridged() -> None:
    times, pressures, warmth = warmed("wave")
    warmth[::7] = np.nan
    (hold,) = analyse(Trace(times, pressures, warmth, len(times), 0)).holds
    assert hold.rate_bar_per_min == pytest.approx(12, rel=0.02)


def test_each_hold_between_openings_is_found_and_a_vented_rig_is_none() -> None:
    bench = Bench(rate_hz=500, seed=3).rest(10)
    for rate in (10.0, 30.0):
        bench.pump(250, 2).hold(15, rate).pump(300, 1).open(240).hold(8, 60).relieve().rest(8)
    times, pressures = bench.made(0.002)
    found = analyse(Trace(times, pressures, None, len(times), 0)).holds
    assert [one.rate_bar_per_min for one in found] == pytest.approx([10, 60, 30, 60], rel=0.02)


def test_the_leak_of_a_hold_is_that_of_its_rate() -> None:
    answer = held(Bench(seed=1), 30, 40)
    rate = answer.holds[0].rate_bar_per_min
    assert answer.rig.leak(rate) == leak_mm3_per_s(rate, 50.0, 1.5) == pytest.approx(50e3 / 15e3 * rate / 60)
