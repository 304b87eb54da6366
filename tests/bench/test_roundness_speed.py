"""How long the four reference circles of 100,000 points take; never in the gate.

.venv/bin/pytest -n0 -o addopts= tests/bench/test_roundness_speed.py
"""

import numpy as np
import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from service.metrology.roundness import (
    least_squares_circle,
    maximum_inscribed_circle,
    minimum_circumscribed_circle,
    minimum_zone,
    roundness,
)

POINTS = 100_000
EVEN = np.arange(POINTS) * (2 * np.pi / POINTS)
ROUND = np.column_stack((np.cos(EVEN), np.sin(EVEN)))
NOISE = np.random.default_rng(1).normal(0, 0.001, POINTS)
SECTIONS = {
    "noise": ROUND * (5 + NOISE)[:, None] + 1_000,
    "lobes": ROUND * (5 + 0.002 * np.cos(3 * EVEN) + NOISE / 10)[:, None] + 1_000,
    "oval": ROUND * (5 + 0.002 * np.cos(2 * EVEN))[:, None] + 1_000,
    "perfect": ROUND * 5 + 1_000,
}


@pytest.mark.parametrize("section", SECTIONS)
def test_all_four_reference_circles(benchmark: BenchmarkFixture, section: str) -> None:
    benchmark(roundness, SECTIONS[section])


@pytest.mark.parametrize(
    "circle", [least_squares_circle, minimum_zone, minimum_circumscribed_circle, maximum_inscribed_circle]
)
def test_each_reference_circle(benchmark: BenchmarkFixture, circle: object) -> None:
    benchmark(circle, SECTIONS["noise"])
