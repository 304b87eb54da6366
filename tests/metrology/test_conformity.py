"""Three verdicts, their edges and their laws."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.conformity import (
    Conforms,
    DoesNotConform,
    NotProven,
    judge,
    probability_of_conformity,
    standard_uncertainty,
)
from service.metrology.errors import MetrologyError

D = Decimal
values = st.decimals(-10, 10, places=3)
uncertainties = st.decimals(0, 2, places=3)
factors = st.sampled_from([D(0), D("0.83"), D(1), D("1.5"), D(3)])
RANK = {"does-not-conform": 0, "not-proven": 1, "conforms": 2}


@pytest.mark.parametrize(
    ("value", "uncertainty", "factor", "name"),
    [
        # Limits 9 to 11, guard band 0.2: each edge belongs to the proven side.
        ("9.2", "0.2", "1", "conforms"),
        ("9.199", "0.2", "1", "not-proven"),
        ("9", "0.2", "1", "not-proven"),
        ("8.801", "0.2", "1", "not-proven"),
        ("8.8", "0.2", "1", "does-not-conform"),
        ("10.8", "0.2", "1", "conforms"),
        ("10.801", "0.2", "1", "not-proven"),
        ("11", "0.2", "1", "not-proven"),
        ("11.199", "0.2", "1", "not-proven"),
        ("11.2", "0.2", "1", "does-not-conform"),
        # Without a guard band the limit itself conforms, with or without an uncertainty.
        ("9", "0", "1", "conforms"),
        ("8.999", "0", "1", "does-not-conform"),
        ("11", "0.2", "0", "conforms"),
        ("11.001", "0.2", "0", "does-not-conform"),
    ],
)
def test_each_edge_has_the_verdict_that_is_documented(value: str, uncertainty: str, factor: str, name: str) -> None:
    assert judge(D(value), D(9), D(11), D(uncertainty), D(factor)).name == name


@given(values, values, values, uncertainties, factors)
def test_towards_the_limit_a_verdict_only_gets_worse(
    one: Decimal, other: Decimal, upper: Decimal, uncertainty: Decimal, factor: Decimal
) -> None:
    smaller, larger = sorted((one, other))
    below = judge(smaller, None, upper, uncertainty, factor)
    above = judge(larger, None, upper, uncertainty, factor)
    assert RANK[below.name] >= RANK[above.name]


@given(values, st.tuples(values, values).map(sorted), uncertainties, uncertainties, factors)
def test_a_larger_uncertainty_never_turns_anything_into_a_proof(
    value: Decimal, limits: list[Decimal], one: Decimal, other: Decimal, factor: Decimal
) -> None:
    better, worse = sorted((one, other))
    before = judge(value, limits[0], limits[1], better, factor)
    after = judge(value, limits[0], limits[1], worse, factor)
    assert after.name in (before.name, "not-proven")


@given(values, st.tuples(values, values).map(sorted), uncertainties, factors)
def test_nothing_conforms_beyond_its_guarded_limit_and_nothing_inside_fails(
    value: Decimal, limits: list[Decimal], uncertainty: Decimal, factor: Decimal
) -> None:
    lower, upper = limits
    verdict = judge(value, lower, upper, uncertainty, factor)
    guard_band = uncertainty * factor
    assert verdict.guard_band == guard_band
    if isinstance(verdict, Conforms):
        assert lower + guard_band <= value <= upper - guard_band
    if lower <= value <= upper:
        assert not isinstance(verdict, DoesNotConform)
    if isinstance(verdict, DoesNotConform):
        assert (value > upper) == verdict.above_upper
        assert value >= upper + guard_band or value <= lower - guard_band


@given(values, values, uncertainties, factors)
def test_a_mirror_turns_an_upper_limit_into_a_lower_one(
    value: Decimal, limit: Decimal, uncertainty: Decimal, factor: Decimal
) -> None:
    upper = judge(value, None, limit, uncertainty, factor)
    lower = judge(-value, -limit, None, uncertainty, factor)
    assert upper.name == lower.name


@given(values)
def test_limits_closer_than_two_guard_bands_prove_no_value(value: Decimal) -> None:
    verdict = judge(value, D(0), D("0.3"), D("0.2"), D(1))
    assert not isinstance(verdict, Conforms)
    assert verdict.zone_too_narrow


def test_limits_exactly_two_guard_bands_apart_leave_their_middle() -> None:
    verdict = judge(D("0.2"), D(0), D("0.4"), D("0.2"), D(1))
    assert isinstance(verdict, Conforms)
    assert not verdict.zone_too_narrow
    assert isinstance(judge(D("0.201"), D(0), D("0.4"), D("0.2"), D(1)), NotProven)


def test_the_verdict_names_the_rule_that_was_applied() -> None:
    assert "8.2" in judge(D(10), D(9), D(11), D("0.2"), D(0)).clause
    assert "8.3.2" in judge(D(10), D(9), D(11), D("0.2"), D(1)).clause
    assert "8.3.3" in judge(D(12), D(9), D(11), D("0.2"), D(1)).clause
    assert "neither" in judge(D(11), D(9), D(11), D("0.2"), D(1)).clause


@pytest.mark.parametrize(
    ("value", "lower", "upper", "uncertainty", "factor", "code"),
    [
        ("1", None, None, "0.1", "1", "limits-missing"),
        ("1", "2", "1", "0.1", "1", "limits-crossed"),
        ("NaN", "0", "1", "0.1", "1", "value-not-finite"),
        ("1", "NaN", "1", "0.1", "1", "value-not-finite"),
        ("1", "0", "Infinity", "0.1", "1", "value-not-finite"),
        ("1", "0", "1", "-0.1", "1", "uncertainty-negative"),
        ("1", "0", "1", "NaN", "1", "uncertainty-negative"),
        ("1", "0", "1", "0.1", "-1", "uncertainty-negative"),
    ],
)
def test_what_cannot_be_judged_is_refused(
    value: str, lower: str | None, upper: str | None, uncertainty: str, factor: str, code: str
) -> None:
    with pytest.raises(MetrologyError) as refusal:
        judge(D(value), lower and D(lower), upper and D(upper), D(uncertainty), D(factor))
    assert refusal.value.code == code


@given(values, st.tuples(values, values).map(sorted), st.decimals("0.001", 2, places=3))
def test_the_probabilities_of_conforming_and_of_being_outside_either_limit_add_to_one(
    value: Decimal, limits: list[Decimal], deviation: Decimal
) -> None:
    lower, upper = limits
    inside = probability_of_conformity(value, lower, upper, deviation)
    too_small = probability_of_conformity(value, None, lower, deviation)
    too_large = probability_of_conformity(value, upper, None, deviation)
    assert 0 <= inside <= 1
    assert inside + too_small + too_large == pytest.approx(1, abs=1e-12)


def test_a_probability_far_beyond_the_limit_keeps_its_digits() -> None:
    # Q(10) = 7.619853024160527e-24, the upper tail of the standard normal distribution; from memory.
    assert probability_of_conformity(D(0), D(10), D(12), D(1)) == pytest.approx(7.619853024160527e-24, rel=1e-9)
    assert probability_of_conformity(D(0), D(-12), D(-10), D(1)) == pytest.approx(7.619853024160527e-24, rel=1e-9)


@pytest.mark.parametrize(("value", "probability"), [("9", 1.0), ("11", 1.0), ("11.001", 0.0), ("8.999", 0.0)])
def test_without_uncertainty_the_probability_is_yes_or_no(value: str, probability: float) -> None:
    assert probability_of_conformity(D(value), D(9), D(11), D(0)) == probability


def test_the_standard_uncertainty_is_the_expanded_one_over_its_coverage_factor() -> None:
    assert standard_uncertainty(D("0.2"), D(2)) == D("0.1")
    with pytest.raises(MetrologyError, match="usually 2"):
        standard_uncertainty(D("0.2"), D(0))


@pytest.mark.parametrize(
    ("value", "lower", "upper", "excess"),
    [
        ("0.86", "0.85", "0.875", "-0.01"),
        ("0.87", "0.85", "0.875", "-0.005"),
        ("0.875", "0.85", "0.875", "0"),
        ("0.90", None, "0.875", "0.025"),
        ("0.84", "0.85", None, "0.01"),
    ],
)
def test_the_excess_is_the_distance_beyond_the_nearer_limit(
    value: str, lower: str | None, upper: str | None, excess: str
) -> None:
    verdict = judge(D(value), lower and D(lower), upper and D(upper), D("0.002"), D(1))
    assert verdict.excess == D(excess)
