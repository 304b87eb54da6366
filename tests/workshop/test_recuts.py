"""Recuts: what a cut took, what metal remains, how many more it is likely to bear."""

from decimal import Decimal
from itertools import product
from math import comb

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.metrology.errors import MetrologyError
from service.workshop.recuts import (
    ENOUGH_CUTS,
    MOST_RECUTS,
    LimitSide,
    Recut,
    RecutsLikely,
    RemainingMetal,
    TooFewCuts,
    chance_that_cuts_fit,
    depth_mm,
    recuts_likely,
    remaining_metal,
)

D = Decimal
unhurried = settings(deadline=None)
"""What is asked is the answer, not how busy the machine is."""
depths = st.lists(st.integers(1, 120).map(lambda um: D(um) / 1000), min_size=ENOUGH_CUTS, max_size=25)


def _metal(remaining: str | Decimal, uncertainty: str | Decimal = "0") -> RemainingMetal:
    return RemainingMetal(remaining_mm=D(remaining), expanded_uncertainty_mm=D(uncertainty))


def _range(metal: RemainingMetal, cuts: list[Decimal]) -> RecutsLikely:
    found = recuts_likely(metal, cuts)
    assert isinstance(found, RecutsLikely)
    return found


def test_a_seat_diameter_grows_towards_its_upper_limit_and_a_height_shrinks_towards_its_lower() -> None:
    assert depth_mm(Recut(before_mm=D("12.10"), after_mm=D("12.18")), LimitSide.UPPER) == D("0.08")
    assert depth_mm(Recut(before_mm=D("30.00"), after_mm=D("29.95")), LimitSide.LOWER) == D("0.05")
    assert remaining_metal(D("12.18"), D("12.60"), LimitSide.UPPER, D("0.01")).remaining_mm == D("0.42")
    assert remaining_metal(D("29.95"), D("29.70"), LimitSide.LOWER, D("0.01")).remaining_mm == D("0.25")


def test_the_metal_is_proven_possible_or_gone() -> None:
    metal = _metal("0.42", "0.02")
    assert (metal.proven_mm, metal.possible_mm) == (D("0.40"), D("0.44"))
    gone = _metal("-0.05", "0.02")
    assert (gone.proven_mm, gone.possible_mm) == (0, 0)
    assert _range(gone, [D("0.05")] * 9).hopeful == 0


def test_cuts_that_are_always_alike_leave_no_doubt() -> None:
    found = _range(_metal("0.42"), [D("0.05")] * 9)
    assert (found.careful, found.even, found.hopeful, found.capped) == (8, 8, 8, False)
    assert found.sentence == "8 more recuts, going by 9 cuts of 0.05 to 0.05 mm on this type."


def test_the_uncertainty_of_the_size_takes_from_the_careful_and_gives_to_the_hopeful() -> None:
    found = _range(_metal("0.40", "0.05"), [D("0.05")] * 9)
    assert (found.careful, found.even, found.hopeful) == (7, 8, 9)


@pytest.mark.parametrize("count", range(1, 6))
def test_the_chance_that_cuts_fit_is_that_of_all_ways_listed(count: int) -> None:
    cuts, metal = [D("0.030"), D("0.040"), D("0.055"), D("0.030")], D("0.150")
    ways = [sum(way) <= metal for way in product(cuts, repeat=count)]
    assert chance_that_cuts_fit(cuts, count, metal) == round(D(sum(ways)) / len(ways), 6)


@pytest.mark.parametrize("count", [1, 7, 20, MOST_RECUTS])
def test_two_depths_give_the_binomial_distribution(count: int) -> None:
    # k deep cuts of 20 µm among n with 10 µm: the sum fits when 10·n + 10·k ≤ metal; closed form.
    metal = D("0.015") * count
    fits = sum(comb(count, deep) for deep in range(count + 1) if 10 * count + 10 * deep <= 1000 * metal)
    assert chance_that_cuts_fit([D("0.01"), D("0.02")], count, metal) == round(D(fits) / 2**count, 6)


@unhurried
@given(depths, st.integers(0, 800), st.integers(0, 40))
def test_the_range_stands_in_order_and_each_figure_keeps_its_chance(
    cuts: list[Decimal], metal_um: int, doubt_um: int
) -> None:
    metal = _metal(D(metal_um) / 1000, D(doubt_um) / 1000)
    found = _range(metal, cuts)
    assert found.careful <= found.even <= found.hopeful <= MOST_RECUTS
    # In the stated chance lie at least so many, and one more would not.
    for count, left, chance in (
        (found.careful, metal.proven_mm, D("0.9")),
        (found.even, metal.remaining_mm, D("0.5")),
        (found.hopeful, metal.possible_mm, D("0.1")),
    ):
        assert chance_that_cuts_fit(cuts, count, left) >= chance - D("0.000001")
        if count < MOST_RECUTS:
            assert chance_that_cuts_fit(cuts, count + 1, left) <= chance + D("0.000001")


@unhurried
@given(depths, st.integers(0, 500), st.integers(1, 100))
def test_more_metal_never_bears_fewer_recuts_and_deeper_cuts_never_more(
    cuts: list[Decimal], metal_um: int, more_um: int
) -> None:
    before = _range(_metal(D(metal_um) / 1000), cuts)
    more_metal = _range(_metal(D(metal_um + more_um) / 1000), cuts)
    deeper = _range(_metal(D(metal_um) / 1000), [cut + D(more_um) / 1000 for cut in cuts])
    for figure in ("careful", "even", "hopeful"):
        assert getattr(deeper, figure) <= getattr(before, figure) <= getattr(more_metal, figure)


@unhurried
@given(depths, st.integers(0, 500))
def test_the_same_record_gives_the_same_answer_in_any_order_and_however_often_it_is_counted(
    cuts: list[Decimal], metal_um: int
) -> None:
    metal = _metal(D(metal_um) / 1000)
    once, twice = _range(metal, cuts), _range(metal, [*reversed(cuts), *cuts])
    assert (once.careful, once.even, once.hopeful) == (twice.careful, twice.even, twice.hopeful)


def test_a_cut_between_two_micrometres_counts_as_the_deeper() -> None:
    assert _range(_metal("0.100"), [D("0.0201")] * 9).even == 4
    assert _range(_metal("0.100"), [D("0.0200")] * 9).even == 5


def test_with_too_few_cuts_on_record_no_number_is_given() -> None:
    found = recuts_likely(_metal("0.4"), [D("0.05")] * 8)
    assert isinstance(found, TooFewCuts)
    assert found.sentence == "Not known: 8 recuts of this type on record, and a forecast needs 9."
    one = recuts_likely(_metal("0.4"), [D("0.05")])
    assert isinstance(one, TooFewCuts)
    assert one.sentence.startswith("Not known: 1 recut of")


def test_where_the_metal_outlasts_every_forecast_the_answer_says_at_least() -> None:
    found = _range(_metal("5"), [D("0.01")] * 9)
    assert found.capped
    assert found.sentence.startswith(f"at least {MOST_RECUTS} more recuts, going by")


@pytest.mark.parametrize(
    ("ask", "code", "field"),
    [
        (
            lambda: depth_mm(Recut(before_mm=D("12.2"), after_mm=D("12.1")), LimitSide.UPPER),
            "recut-adds-metal",
            "after",
        ),
        (
            lambda: depth_mm(Recut(before_mm=D("12.1"), after_mm=D("12.1")), LimitSide.LOWER),
            "recut-adds-metal",
            "after",
        ),
        (lambda: depth_mm(Recut(before_mm=D(0), after_mm=D("12.1")), LimitSide.UPPER), "size-not-positive", "before"),
        (lambda: remaining_metal(D("NaN"), D(1), LimitSide.UPPER, D(0)), "size-not-positive", "size"),
        (lambda: remaining_metal(D(1), D(1), LimitSide.UPPER, D(-1)), "uncertainty-negative", "expanded_uncertainty"),
        (lambda: recuts_likely(_metal("21"), [D("0.05")] * 9), "metal-absurd", "remaining"),
        (lambda: recuts_likely(_metal("1"), [D("0.05")] * 8 + [D(0)]), "cut-not-positive", "depths"),
        (lambda: chance_that_cuts_fit([], 1, D(1)), "cut-not-positive", "depths"),
        (lambda: chance_that_cuts_fit([D("0.05")], MOST_RECUTS + 1, D(1)), "recuts-out-of-range", "count"),
    ],
)
def test_what_no_recut_can_be_is_refused_by_its_field(ask: object, code: str, field: str) -> None:
    with pytest.raises(MetrologyError) as refusal:
        ask()  # type: ignore[operator]
    assert (refusal.value.code, refusal.value.field) == (code, field)
