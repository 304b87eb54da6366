"""How long a whole engine takes to be matched; never in the gate.

.venv/bin/pytest -n0 -o addopts= tests/bench/test_set_matching_speed.py
"""

import random

import pytest
from pytest_benchmark.fixture import BenchmarkFixture

from service.hydraulics.set_matching import MatchedInjector, match_sets


def _pool(count: int, per_cylinder: int) -> list[MatchedInjector]:
    chance = random.Random(1)
    return [
        MatchedInjector(f"SN-{place}", chance.gauss(350, 4), chance.gauss(5, 0.1), place // per_cylinder + 1)
        for place in range(count)
    ]


@pytest.mark.parametrize(
    ("cylinders", "per_cylinder", "more"), [(6, 2, 0), (14, 2, 4), (6, 3, 0), (14, 3, 0), (12, 3, 6)]
)
def test_a_whole_engine(benchmark: BenchmarkFixture, cylinders: int, per_cylinder: int, more: int) -> None:
    pool = _pool(cylinders * per_cylinder + more, per_cylinder)
    found = benchmark.pedantic(match_sets, (pool, cylinders, per_cylinder), rounds=3)
    assert found.mismatch <= found.arrival_mismatch
