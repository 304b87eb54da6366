"""Closed profiles of a hole: harmonics by least squares, with or without outliers, and the roundness filter."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[Any]

FILTER_UPR = 15.0
_GAUSSIAN = float(np.sqrt(np.log(2) / np.pi))  # ISO 16610-21: half transmission at the cut-off
_TO_SIGMA = 1.4826  # median absolute deviation of a normal distribution to its standard deviation
_STEPS = 1440


def harmonic_columns(angles: Array, order: int) -> Array:
    """The design matrix 1, cos θ, sin θ, cos 2θ … up to an order; angles in radians, shape (n, 2·order + 1)."""
    columns = [np.ones_like(angles)]
    for number in range(1, order + 1):
        columns += [np.cos(number * angles), np.sin(number * angles)]
    return np.stack(columns, axis=1)


def harmonics(angles: Array, radii: Array, order: int) -> Array:
    """Least-squares coefficients R, a1, b1, a2, b2 … of a radial profile, in the unit of the radii."""
    return np.asarray(np.linalg.lstsq(harmonic_columns(angles, order), radii, rcond=None)[0])


def trusted(angles: Array, radii: Array, candidates: Array, order: int, floor: float, reach: float = 5.0) -> Array:
    """Which of the candidate points lie on one closed profile: the others are scratches and reflections.

    Harmonics are fitted order by order, each time only to points within `reach` robust standard deviations (and
    never nearer than `floor`) of the last fit, so that a cluster of outliers cannot bend the first one.
    """
    columns = harmonic_columns(angles, order)
    kept = candidates
    about = np.full_like(radii, np.median(radii[candidates]) if candidates.any() else 0.0)
    for degree in [*range(order + 1), order, order]:
        away = np.abs(radii - about)
        spread = _TO_SIGMA * np.median(away[candidates]) if candidates.any() else 0.0
        kept = candidates & (away <= max(floor, reach * spread))
        if kept.sum() < 4 * order + 2:
            return np.asarray(kept)
        wide = 2 * degree + 1
        weights = np.linalg.lstsq(columns[kept, :wide], radii[kept], rcond=None)[0]
        about = columns[:, :wide] @ weights
    return np.asarray(kept)


def filtered_profile(angles: Array, radii: Array) -> Array:
    """The profile at even angles after the Gaussian filter of 15 undulations per revolution (ISO 12181-2).

    Gaps are bridged by the harmonics up to the third and a straight line of what is left of them. Answers the
    deviations from the mean circle with its first harmonic (the centre) taken out.
    """
    weights = harmonics(angles, radii, 3)
    residuals = radii - harmonic_columns(angles, 3) @ weights
    even = np.arange(_STEPS) * 2 * np.pi / _STEPS
    bridged = np.interp(even, angles, residuals, period=2 * np.pi) + harmonic_columns(even, 3) @ weights
    spectrum = np.fft.rfft(bridged)
    undulations = np.arange(spectrum.size)
    spectrum *= np.exp(-np.pi * (_GAUSSIAN * undulations / FILTER_UPR) ** 2)
    spectrum[:2] = 0
    return np.asarray(np.fft.irfft(spectrum, _STEPS))


def filter_noise_gain() -> float:
    """Variance of the filtered profile for white noise, times the number of independent points: Σ|H|² over orders."""
    orders = np.arange(2, 200)
    return float(2 * np.sum(np.exp(-2 * np.pi * (_GAUSSIAN * orders / FILTER_UPR) ** 2)))


def independent_points(residuals_in_order: Array) -> float:
    """How many independent points a closed row of residuals is worth: n / (1 + 2·Σ of its correlations).

    The sum runs to the first lag whose correlation is lost in its own scatter (JCGM 100 (GUM), 4.2.7, note: repeated
    observations that are correlated).
    """
    n = residuals_in_order.size
    centred = residuals_in_order - residuals_in_order.mean()
    power = np.abs(np.fft.fft(centred)) ** 2
    correlation = np.fft.ifft(power).real
    if correlation[0] <= 0:
        return float(n)
    correlation = correlation / correlation[0]
    lost = np.flatnonzero(correlation[1 : n // 4] < 1.5 / np.sqrt(n))
    last = int(lost[0]) if lost.size else n // 4 - 1
    return float(np.clip(n / (1 + 2 * correlation[1 : last + 1].sum()), 8, n))


def mean_circle(points: Array) -> tuple[float, float, float]:
    """Least-squares circle of points (n, 2): x, y, radius (ISO 12181-1, least-squares reference circle).

    Gauss-Newton on the radial distances from the mean of the points; edge points all round converge in a few steps.
    """
    centre = points.mean(axis=0)
    radius = 0.0
    for _ in range(50):
        away = points - centre
        distances = np.hypot(away[:, 0], away[:, 1])
        directions = away / np.maximum(distances, 1e-12)[:, None]
        columns = np.column_stack([directions, np.ones_like(distances)])
        step = np.linalg.lstsq(columns, distances, rcond=None)[0]
        centre, radius = centre + step[:2], float(step[2])
        if np.hypot(step[0], step[1]) < 1e-10 * max(radius, 1.0):
            break
    return float(centre[0]), float(centre[1]), radius
