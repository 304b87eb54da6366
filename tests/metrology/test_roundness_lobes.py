"""Radial traces: lobes, ovality in both meanings, eccentricity and the Gaussian filter."""

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.ndimage import gaussian_filter1d
from scipy.special import ellipe, ellipk

from service.metrology.errors import MetrologyError
from service.metrology.lobing import form_ovality, lobing_spectrum
from service.metrology.radial_trace import RadialTrace, evenly, radial_trace, trace_about, without_eccentricity
from service.metrology.roundness import least_squares_circle
from service.metrology.roundness_filter import filtered

EVEN = np.arange(360) * (2 * pi / 360)


def _ellipse(major_mm: float, minor_mm: float) -> RadialTrace:
    radii = major_mm * minor_mm / np.hypot(minor_mm * np.cos(EVEN), major_mm * np.sin(EVEN))
    return radial_trace(radii)


@settings(deadline=None)
@given(st.integers(2, 60), st.floats(1e-5, 0.1), st.floats(0, 2 * pi))
def test_a_lobed_part_shows_its_own_number_of_lobes_and_no_other(lobes: int, amplitude_mm: float, turn: float) -> None:
    spectrum = lobing_spectrum(radial_trace(3 + amplitude_mm * np.cos(lobes * (EVEN - turn))), 60)
    assert spectrum.mean_radius_mm == pytest.approx(3, abs=1e-13)
    assert spectrum.dominant().undulations_per_revolution == lobes
    for one in spectrum.lobes:
        expected = amplitude_mm if one.undulations_per_revolution == lobes else 0
        assert one.amplitude_mm == pytest.approx(expected, abs=1e-13)
    crest = spectrum.lobes[lobes - 1].crest_deg
    assert np.cos(lobes * (np.radians(crest) - turn)) == pytest.approx(1, abs=1e-12)


def test_uneven_directions_show_the_same_lobes_as_even_ones() -> None:
    shaken = np.degrees(EVEN[::4]) + np.random.default_rng(4).uniform(-1.5, 1.5, 90)
    radii = 3 + 0.002 * np.cos(3 * np.radians(shaken)) + 0.001 * np.sin(17 * np.radians(shaken))
    spectrum = lobing_spectrum(radial_trace(radii, shaken))
    amplitudes = {one.undulations_per_revolution: one.amplitude_mm for one in spectrum.lobes}
    assert amplitudes.pop(3) == pytest.approx(0.002, abs=1e-12)
    assert amplitudes.pop(17) == pytest.approx(0.001, abs=1e-12)
    assert max(amplitudes.values()) < 1e-12


@pytest.mark.parametrize(("major_mm", "minor_mm"), [(1.0, 0.99), (0.45, 0.4), (25.01, 25.0)])
def test_ovality_of_an_ellipse_is_the_closed_form(major_mm: float, minor_mm: float) -> None:
    # r = b/√(1 − m·cos²θ), m = 1 − b²/a²: its second Fourier coefficient by complete elliptic integrals.
    m = 1 - (minor_mm / major_mm) ** 2
    second = 4 * minor_mm / pi * (2 * (ellipk(m) - ellipe(m)) / m - ellipk(m))
    found = form_ovality(_ellipse(major_mm, minor_mm))
    assert found.second_harmonic_mm == pytest.approx(second, abs=1e-10)
    assert found.peak_to_valley_mm == pytest.approx(2 * second, abs=1e-10)
    assert found.two_point_mm == pytest.approx(2 * (major_mm - minor_mm), abs=1e-12)
    assert found.largest_deg == pytest.approx(0)


def test_a_three_lobed_part_has_no_ovality_and_yet_a_deviation() -> None:
    trace = radial_trace(3 + 0.005 * np.cos(3 * EVEN))
    found = form_ovality(trace)
    assert (found.two_point_mm, found.peak_to_valley_mm) == pytest.approx((0, 0), abs=1e-14)
    assert least_squares_circle(trace.points_mm()).deviation_mm == pytest.approx(0.01, abs=1e-12)


def test_two_point_ovality_is_the_same_where_no_two_readings_are_opposite() -> None:
    odd = np.arange(181) * (2 * pi / 181)
    found = form_ovality(radial_trace(2 + 0.01 * np.cos(2 * (odd - 0.5))))
    assert found.two_point_mm == pytest.approx(0.04, abs=1e-6)
    assert found.largest_deg == pytest.approx(np.degrees(0.5), abs=0.3)


def test_a_round_part_off_the_axis_of_rotation_has_no_ovality_once_its_eccentricity_is_off() -> None:
    # r of a circle of radius R whose centre is e away: e·cos θ + √(R² − e²·sin²θ), with e²/4R of second harmonic.
    radius, away = 2.0, 0.05
    trace = radial_trace(away * np.cos(EVEN) + np.sqrt(radius**2 - (away * np.sin(EVEN)) ** 2))
    assert form_ovality(trace).second_harmonic_mm == pytest.approx(away**2 / (4 * radius), rel=1e-3)
    assert lobing_spectrum(trace).amplitude_mm(1) == pytest.approx(away, rel=1e-12)
    centred = without_eccentricity(trace)
    assert form_ovality(centred).second_harmonic_mm == pytest.approx(0, abs=1e-13)
    assert centred.radii_mm == pytest.approx(np.full(360, radius), abs=1e-13)


def test_points_become_a_trace_about_their_least_squares_centre() -> None:
    points = _ellipse(1.0, 0.9).points_mm() + np.array([100.0, -50.0])
    closed = np.concatenate((points, points[:1]))
    assert len(trace_about(points).radii_mm) == 360
    assert trace_about(closed, (100.0, -50.0)).radii_mm.max() == pytest.approx(1, abs=1e-12)


@pytest.mark.parametrize("cutoff_upr", [15, 50])
def test_the_filter_lets_half_of_the_undulations_at_its_cutoff_through(cutoff_upr: int) -> None:
    # ISO 16610-21: 50 % transmission at the cut-off; the mean radius stays.
    passed = filtered(radial_trace(3 + 0.004 * np.cos(cutoff_upr * EVEN)), cutoff_upr)
    spectrum = lobing_spectrum(passed)
    assert spectrum.amplitude_mm(cutoff_upr) == pytest.approx(0.002, abs=1e-14)
    assert spectrum.mean_radius_mm == pytest.approx(3, abs=1e-14)


def test_the_filter_is_a_running_mean_weighted_by_the_gaussian_bell_of_the_standard() -> None:
    # s(x) = exp(−π·(x/(α·λ))²)/(α·λ) with α = √(ln 2/π): a bell of standard deviation α·λ/√(2π), run by SciPy.
    radii = 3 + np.random.default_rng(8).normal(0, 0.001, 3_600)
    deviation = np.sqrt(np.log(2) / pi) * (3_600 / 15) / np.sqrt(2 * pi)
    run = gaussian_filter1d(radii, deviation, mode="wrap", truncate=8)
    assert filtered(radial_trace(radii), 15).radii_mm == pytest.approx(run, abs=1e-9)


def test_a_band_pass_takes_the_long_undulations_off_too() -> None:
    trace = radial_trace(3 + 0.004 * np.cos(2 * EVEN) + 0.001 * np.cos(25 * EVEN))
    spectrum = lobing_spectrum(filtered(trace, 50, longest_upr=15))
    assert spectrum.mean_radius_mm == pytest.approx(3, abs=1e-14)
    assert spectrum.amplitude_mm(2) == pytest.approx(0.004 * (2 ** -((2 / 50) ** 2) - 2 ** -((2 / 15) ** 2)), abs=1e-14)


@pytest.mark.parametrize(
    ("radii", "angles", "code"),
    [
        ([1.0, 1.0], None, "trace-shape"),
        ([1.0, 1.0, "x"], None, "trace-shape"),
        ([1.0, 0.0, 1.0], None, "radius-not-positive"),
        ([1.0, float("nan"), 1.0], None, "radius-not-positive"),
        ([1.0, 1.0, 1.0], [0, 120], "trace-shape"),
        ([1.0, 1.0, 1.0], [0, 120, float("nan")], "angle-not-finite"),
        ([1.0, 1.0, 1.0], [0, 120, 360], "direction-twice"),
    ],
)
def test_a_trace_without_meaning_is_refused(radii: list[float], angles: list[float] | None, code: str) -> None:
    with pytest.raises(MetrologyError) as refusal:
        radial_trace(radii, angles)
    assert refusal.value.code == code


def test_more_undulations_than_the_readings_carry_are_refused() -> None:
    with pytest.raises(MetrologyError, match="at most 5"):
        lobing_spectrum(radial_trace(np.ones(12)), 6)
    with pytest.raises(MetrologyError, match="no reading over 180°"):
        evenly(radial_trace(np.ones(7), np.arange(7) * 30), 90)
    with pytest.raises(MetrologyError, match="at least 350 readings"):
        filtered(radial_trace(np.ones(349)), 50)
    with pytest.raises(MetrologyError, match="even steps first"):
        filtered(radial_trace(np.ones(400), np.arange(400) ** 1.01 / 2), 15)
    with pytest.raises(MetrologyError, match="over zero"):
        filtered(radial_trace(np.ones(400)), 0)
