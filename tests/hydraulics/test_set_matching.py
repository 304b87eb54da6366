"""Which injectors go into one cylinder together, held against every choice that there is."""

from collections.abc import Iterator
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.set_matching import EngineSet, MatchedInjector, match_sets

Pool = list[MatchedInjector]


def _spread(values: list[float], mean: float) -> float:
    return 100 * (max(values) - min(values)) / mean


def _cost(pool: Pool, group: tuple[int, ...]) -> float:
    """Both spreads of a group, per cent of the means of all; reckoned here anew."""
    known = [one.area_mm2 for one in pool if one.area_mm2]
    here = [area for place in group if (area := pool[place].area_mm2)]
    opening = _spread([pool[place].opening_bar for place in group], sum(one.opening_bar for one in pool) / len(pool))
    return opening + (_spread(here, sum(known) / len(known)) if here else 0)


def _every_choice(left: tuple[int, ...], size: int, wanted: int) -> Iterator[list[tuple[int, ...]]]:
    """Every way to make so many groups, some injectors left over."""
    if wanted == 0:
        yield []
        return
    for place, first in enumerate(left):
        behind = left[place + 1 :]
        for others in combinations(behind, size - 1):
            rest = tuple(one for one in behind if one not in others)
            for choice in _every_choice(rest, size, wanted - 1):
                yield [(first, *others), *choice]


@st.composite
def pools(draw: st.DrawFn) -> tuple[Pool, int, int]:
    """A few injectors, few enough that every choice can be tried."""
    size = draw(st.sampled_from((2, 2, 3)))
    wanted = draw(st.integers(1, 3 if size == 2 else 2))
    count = wanted * size + draw(st.integers(0, 2))
    pool = [
        MatchedInjector(
            f"SN-{place}",
            draw(st.integers(3300, 3700)) / 10,
            draw(st.none() | st.integers(480, 520).map(lambda area: area / 100)),
            draw(st.none() | st.integers(1, wanted)),
        )
        for place in range(count)
    ]
    return pool, wanted, size


@given(pools())
@settings(max_examples=60, deadline=None)
def test_no_choice_there_is_matches_better(drawn: tuple[Pool, int, int]) -> None:
    pool, wanted, size = drawn
    found = match_sets(pool, wanted, size)
    best = min(
        sum(_cost(pool, group) for group in choice) for choice in _every_choice(tuple(range(len(pool))), size, wanted)
    )
    assert found.mismatch == pytest.approx(best, abs=wanted * 1e-4)
    arrival = sum(_cost(pool, tuple(range(place * size, (place + 1) * size))) for place in range(wanted))
    assert found.arrival_mismatch == pytest.approx(arrival)
    assert found.mismatch <= arrival + wanted * 1e-4


@given(pools())
@settings(max_examples=30, deadline=None)
def test_each_cylinder_gets_its_number_and_no_injector_goes_twice(drawn: tuple[Pool, int, int]) -> None:
    pool, wanted, size = drawn
    found = match_sets(pool, wanted, size)
    assert [one.cylinder for one in found.cylinders] == list(range(1, wanted + 1))
    keys = [injector.key for one in found.cylinders for injector in one.injectors]
    assert len(keys) == len(set(keys)) == wanted * size


def _engine(*opening: float) -> EngineSet:
    pool = [MatchedInjector(f"SN-{place}", bar, 5.0, place // 2 + 1) for place, bar in enumerate(opening, start=0)]
    return match_sets(pool, len(opening) // 2, 2)


def test_alike_pressures_go_together_and_injectors_stay_where_they_were_if_they_can() -> None:
    found = _engine(350, 360, 351, 361)
    assert [[one.opening_bar for one in each.injectors] for each in found.cylinders] in (
        [[350, 351], [360, 361]],
        [[360, 361], [350, 351]],
    )
    kept = _engine(350, 350, 360, 360, 340, 340)
    assert [[one.opening_bar for one in each.injectors] for each in kept.cylinders] == [[350] * 2, [360] * 2, [340] * 2]
    assert (kept.mismatch, kept.left_over) == (0, 1)


def test_how_much_the_order_of_arrival_is_beaten_is_told() -> None:
    found = _engine(350, 360, 351, 361)
    assert found.mismatch == pytest.approx(100 * 2 / 355.5)
    assert found.arrival_mismatch == pytest.approx(100 * 20 / 355.5)
    assert found.left_over == pytest.approx(0.1)


def test_a_part_of_an_engine_goes_back_to_its_own_cylinders() -> None:
    pool = [MatchedInjector(f"SN-{place}", 350.0 + place // 2, 5.0, 4 + place // 2) for place in range(4)]
    assert [one.cylinder for one in match_sets(pool, 2, 2, of_cylinders=6).cylinders] == [4, 5]


@pytest.mark.parametrize(
    ("count", "cylinders", "per_cylinder", "code"),
    [(3, 2, 2, "set-too-small"), (4, 0, 2, "set-too-small"), (4, 4, 1, "set-alone"), (70, 6, 3, "set-too-large")],
)
def test_what_is_no_set_is_refused(count: int, cylinders: int, per_cylinder: int, code: str) -> None:
    pool = [MatchedInjector(f"SN-{place}", 350.0, None) for place in range(count)]
    with pytest.raises(HydraulicsError) as refusal:
        match_sets(pool, cylinders, per_cylinder)
    assert refusal.value.code == code


@pytest.mark.parametrize(("bar", "area"), [(0.0, 5.0), (float("nan"), 5.0), (350.0, 0.0), (350.0, float("inf"))])
def test_a_pressure_or_an_area_that_is_none_is_refused(bar: float, area: float) -> None:
    with pytest.raises(HydraulicsError, match="SN-1"):
        match_sets([MatchedInjector("SN-1", bar, area), MatchedInjector("SN-2", 350.0, 5.0)], 1, 2)
