"""How long the search for discs takes over 12 thicknesses: under 50 ms is wanted. Never in the gate.

.venv/bin/pytest -n0 -o addopts= tests/bench/test_disc_search_speed.py
"""

from decimal import Decimal as D

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from service.hydraulics.disc_search import DiscTask, PressureBand, disc_task, fewest_discs
from service.hydraulics.disc_stock import StockedDisc

WANTED_S = 0.05
EVEN = [StockedDisc(50 * step) for step in range(1, 13)]
ODD = [StockedDisc(um) for um in (21, 33, 47, 58, 71, 86, 97, 113, 129, 151, 173, 199)]
COUNTED = [StockedDisc(disc.thickness_um, 2) for disc in ODD]


def _task(now: str, off: str, stock: list[StockedDisc], fitted: tuple[int, ...] = (), most: int = 5) -> DiscTask:
    return disc_task(D(now), PressureBand(350 - D(off), D(350), 350 + D(off)), D(100), stock, fitted, most)


TASKS = {
    "one disc": _task("330", "5", EVEN),
    "five discs, thirty ties": _task("100", "1", EVEN),
    "many ties": _task("255", "5", ODD),
    "counted pieces": _task("255", "0.2", COUNTED),
    "no set can": _task("97.5", "1", EVEN, most=20),
    "twenty allowed": _task("20", "0.5", ODD, most=20),
    "twelve fitted, out and in": _task("390.03", "0.2", ODD, (50, 100, 150, 200) * 3, 20),
}


@pytest.mark.parametrize("name", TASKS)
def test_the_search_over_twelve_thicknesses(benchmark: BenchmarkFixture, name: str) -> None:
    benchmark(fewest_discs, TASKS[name])
    assert benchmark.stats.stats.median < WANTED_S
