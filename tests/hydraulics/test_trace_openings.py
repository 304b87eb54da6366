"""Openings of invented traces whose truth is known: pressures within 0.5 % at 1 % noise, whatever the shape."""

import numpy as np
import pytest

from service.hydraulics.trace.analysis import TraceAnalysis, analyse, statistics_of
from service.hydraulics.trace.openings import Opening
from service.hydraulics.trace.reading import Trace
from tests.hydraulics.invented_traces import Bench, strokes

SEEDS = range(6)


def analysed(bench: Bench, noise: float) -> TraceAnalysis:
    times, pressures = bench.made(noise)
    return analyse(Trace(times, pressures, None, len(times), 0))


def rehearsed(bench: Bench, fall_s: float, noise: float = 0.01) -> TraceAnalysis:
    """A hold, four openings, relief."""
    bench.rest(0.5).pump(250, 4).hold(8, 40).pump(260, 0.5)
    for bar in (300.0, 303.0, 297.0, 301.0):
        bench.pump(bar, 1.2).open(bar * 0.8, fall_s)
    return analysed(bench.rest(1).relieve(), noise)


@pytest.mark.parametrize("shape", ["straight", "saturating", "strokes"])
@pytest.mark.parametrize(("rate_hz", "fall_s"), [(5000, 0.004), (1000, 0.004), (1000, 0.03), (1000, 0.1)])
def test_each_opening_pressure_is_within_half_a_percent_at_one_percent_noise(
    shape: str, rate_hz: float, fall_s: float
) -> None:
    for seed in SEEDS:
        bench = Bench(rate_hz=rate_hz, seed=seed, uneven=0.8, shape=shape)
        answer = rehearsed(bench, fall_s)
        assert len(answer.openings) == 4
        for found, (at, opening, closing) in zip(answer.openings, bench.openings, strict=True):
            assert found.opening_bar == pytest.approx(opening, rel=0.005)
            assert found.closing_bar == pytest.approx(closing, rel=0.01)
            assert found.t_s == pytest.approx(at, abs=0.02)
            assert found.drop_s == pytest.approx(fall_s, abs=0.2 * fall_s + 0.005)


@pytest.mark.parametrize("shape", ["straight", "saturating", "strokes"])
@pytest.mark.parametrize("rate_hz", [100, 200])
def test_the_mean_opening_pressure_is_within_half_a_percent_of_a_slow_logger(shape: str, rate_hz: float) -> None:
    for seed in SEEDS:
        bench = Bench(rate_hz=rate_hz, seed=seed, uneven=0.8, shape=shape)
        answer = rehearsed(bench, 0.02)
        assert answer.statistics is not None
        assert (answer.statistics.count, answer.statistics.mean_bar) == (4, pytest.approx(300.25, rel=0.006))


def test_the_error_of_many_openings_is_centred() -> None:
    errors = []
    for seed in range(20):
        bench = Bench(seed=100 + seed, uneven=0.8)
        for found, (_, opening, _) in zip(rehearsed(bench, 0.01).openings, bench.openings, strict=True):
            errors.append(found.opening_bar / opening - 1)
    assert abs(np.mean(errors)) < 0.0005
    assert np.std(errors) < 0.001


@pytest.mark.parametrize("uneven", [0.0, 0.9])
def test_without_noise_the_opening_is_met_almost_exactly(uneven: float) -> None:
    bench = strokes(Bench(uneven=uneven))
    for found, (_, opening, closing) in zip(analysed(bench, 0.0).openings, bench.openings, strict=True):
        assert found.opening_bar == pytest.approx(opening, rel=2e-4)
        assert found.closing_bar == pytest.approx(closing, rel=2e-3)


def test_relief_by_hand_and_the_end_of_a_hold_are_no_openings() -> None:
    bench = Bench(seed=2).rest(1).pump(280, 3).relieve(0.2).rest(1).pump(280, 3).hold(10, 20).relieve(0.05).rest(1)
    assert analysed(bench, 0.01).openings == ()


def test_an_opening_at_the_very_end_of_a_trace_is_found_and_noise_there_is_none() -> None:
    for seed in range(5):
        last = Bench(seed=seed).rest(0.5).pump(300, 3).open(240).pump(301, 1).open(241, 0.01)
        assert [one.opening_bar for one in analysed(last, 0.005).openings] == pytest.approx([300, 301], rel=0.005)
        assert analysed(Bench(seed=seed).rest(0.5).pump(300, 5), 0.01).openings == ()


def test_chatter_counts_once() -> None:
    bench = Bench(rate_hz=2000, seed=3).rest(1).pump(300, 3)
    for _ in range(5):
        bench.open(270, 0.003).pump(298, 0.05)
    bench.open(240, 0.003).rest(1).pump(301, 2).open(241, 0.003).rest(1).relieve()
    answer = analysed(bench, 0.003)
    assert [one.opening_bar for one in answer.openings] == pytest.approx([300, 301], rel=0.005)
    assert answer.chatter == 5
    assert any("chatter" in one for one in answer.remarks)


def test_a_shallow_drop_of_four_percent_is_found_in_little_noise_and_no_drop_is_invented_in_much() -> None:
    shallow = Bench(seed=4).rest(1)
    for _ in range(3):
        shallow.pump(300, 1.5).open(288, 0.005)
    assert len(analysed(shallow.rest(1), 0.002).openings) == 3
    for seed in range(5):
        assert analysed(Bench(seed=seed).rest(1).pump(280, 20).hold(20, 30).pump(290, 5).relieve(), 0.02).openings == ()


def test_mean_spread_and_uncertainty_are_those_of_the_openings() -> None:
    openings = tuple(Opening(float(n), bar, 240.0, 0.01, 0.4) for n, bar in enumerate((299.0, 300.0, 304.0)))
    found = statistics_of(openings)
    assert found is not None
    assert (found.count, found.mean_bar, found.spread_bar) == (3, 301.0, 5.0)
    assert found.standard_deviation_bar == pytest.approx(7**0.5)
    assert found.standard_uncertainty_bar == pytest.approx((7 / 3) ** 0.5)
    assert found.interval is not None
    assert found.interval[1] - 301.0 == pytest.approx(4.302653 * (7 / 3) ** 0.5, rel=1e-6)
    single = statistics_of(openings[:1])
    assert single is not None
    assert (single.standard_uncertainty_bar, single.interval) == (0.4, None)
    assert statistics_of(()) is None
