"""Uncertainty budgets: closed forms, laws, and what is refused by its field."""

import math
from decimal import Decimal

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from service.metrology.contributions import (
    INFINITE,
    Contribution,
    Distribution,
    from_expanded,
    from_half_width,
    from_history,
    from_readings,
    from_resolution,
    pooled_deviation,
)
from service.metrology.coverage import coverage_factor, effective_degrees_of_freedom
from service.metrology.errors import MetrologyError
from service.metrology.uncertainty_budget import Correlation, expand, two_digits_up

micrometres = st.floats(1e-5, 1e-1)
freedoms = st.one_of(st.floats(1, 200), st.just(INFINITE))


@st.composite
def budgets(draw: st.DrawFn) -> list[Contribution]:
    count = draw(st.integers(1, 6))
    return [
        Contribution(f"line {n}", 0.0, draw(micrometres), draw(st.floats(-3, 3)), draw(freedoms)) for n in range(count)
    ]


@pytest.mark.parametrize(
    ("distribution", "divisor"),
    [(Distribution.RECTANGULAR, 3), (Distribution.TRIANGULAR, 6), (Distribution.U_SHAPED, 2)],
)
def test_a_half_width_is_divided_by_the_root_that_belongs_to_its_shape(
    distribution: Distribution, divisor: int
) -> None:
    # JCGM 100, 4.3.7, 4.3.9; the variance of each density integrated numerically as a check from outside.
    from scipy.integrate import quad

    # x = sin(angle): the arcsine density becomes flat, so that the integral meets no pole.
    weight = {
        Distribution.RECTANGULAR: lambda angle: math.cos(angle) / 2,
        Distribution.TRIANGULAR: lambda angle: math.cos(angle) * (1 - abs(math.sin(angle))),
        Distribution.U_SHAPED: lambda angle: 1 / math.pi,
    }[distribution]
    variance, _ = quad(lambda angle: math.sin(angle) ** 2 * weight(angle), -math.pi / 2, math.pi / 2, points=[0])
    assert variance == pytest.approx(1 / divisor)
    assert from_half_width("x", 2.0, distribution).standard_uncertainty == pytest.approx(2 * math.sqrt(variance))


def test_a_certificate_a_step_repeats_and_a_history_each_give_their_standard_uncertainty() -> None:
    assert from_expanded("certificate", 0.003, 2).standard_uncertainty == 0.0015
    assert from_resolution("step", 0.001).standard_uncertainty == pytest.approx(0.001 / (2 * math.sqrt(3)))
    repeats = from_readings("repeats", [1.0, 2.0, 4.0, 5.0])
    assert repeats.estimate == 3.0
    assert repeats.standard_uncertainty == pytest.approx(math.sqrt(10 / 3) / 2)
    assert repeats.degrees_of_freedom == 3
    history = from_history("history", 0.004, 20, readings=4)
    assert (history.standard_uncertainty, history.degrees_of_freedom) == (0.002, 20)


def test_earlier_series_are_pooled_by_their_degrees_of_freedom() -> None:
    # s² are 1 (ν = 2) and 2 (ν = 1), so s_p² = (2·1 + 1·2) ÷ 3.
    deviation, freedom = pooled_deviation([[1, 2, 3], [4, 6], [9]])
    assert (deviation, freedom) == (pytest.approx(math.sqrt(4 / 3)), 3)


def test_one_contribution_keeps_its_own_degrees_of_freedom_and_the_whole_share() -> None:
    found = expand([from_readings("repeats", [1.0, 2.0, 3.0])])
    assert found.effective_dof == pytest.approx(2)
    assert found.k == pytest.approx(4.5266, abs=1e-4)
    assert [line.share for line in found.lines] == [1.0]


def test_two_equal_contributions_add_by_root_two_and_double_the_freedom() -> None:
    found = expand([Contribution("a", 0, 3, 1, 5), Contribution("b", 0, 3, -1, 5)])
    assert found.combined == pytest.approx(3 * math.sqrt(2))
    assert found.effective_dof == pytest.approx(10)


@pytest.mark.parametrize(("coefficient", "combined"), [(1.0, 7.0), (-1.0, 1.0), (0.0, 5.0)])
def test_fully_correlated_contributions_add_and_opposed_ones_cancel(coefficient: float, combined: float) -> None:
    lines = [Contribution("a", 0, 3), Contribution("b", 0, 4)]
    found = expand(lines, correlations=[Correlation("a", "b", coefficient)])
    assert found.combined == pytest.approx(combined)
    assert math.fsum(line.share for line in found.lines) == pytest.approx(1.0)


@given(budgets(), st.floats(0.01, 100))
def test_all_in_another_unit_the_uncertainty_scales_and_k_stays(lines: list[Contribution], unit: float) -> None:
    before = expand(lines)
    assume(before.combined > 1e-9)
    scaled = [
        Contribution(one.name, 0.0, one.standard_uncertainty, one.sensitivity * unit, one.degrees_of_freedom)
        for one in lines
    ]
    after = expand(scaled)
    assert after.combined == pytest.approx(unit * before.combined, rel=1e-9)
    assert after.k == pytest.approx(before.k, rel=1e-7)
    assert [line.share for line in after.lines] == pytest.approx([line.share for line in before.lines], abs=1e-9)


@given(budgets(), st.sampled_from([1.0, 7.0, INFINITE]), st.floats(-5, 5))
def test_a_contribution_of_zero_changes_nothing(lines: list[Contribution], freedom: float, sensitivity: float) -> None:
    before, after = expand(lines), expand([*lines, Contribution("nothing", 1.0, 0.0, sensitivity, freedom)])
    assert (after.combined, after.effective_dof, after.k) == (before.combined, before.effective_dof, before.k)
    assert after.lines[-1].share == 0.0


@given(budgets(), micrometres)
def test_another_contribution_that_is_known_widens_what_it_joins(lines: list[Contribution], more: float) -> None:
    after = expand([*lines, Contribution("more", 0.0, more)])
    assert after.combined >= expand(lines).combined
    assert after.k <= expand(lines).k * (1 + 1e-12)


@given(budgets())
def test_the_shares_make_the_whole_and_the_freedom_lies_between_the_poorest_and_the_sum(
    lines: list[Contribution],
) -> None:
    found = expand(lines)
    assume(found.combined > 1e-9)
    assert math.fsum(line.share for line in found.lines) == pytest.approx(1.0)
    # JCGM 100, G.4.1: ν_eff never exceeds the sum of the ν_i; it is never under the poorest either.
    freedoms_here = [one.degrees_of_freedom for one in lines]
    assert found.effective_dof <= math.fsum(freedoms_here) * (1 + 1e-9)
    assert found.effective_dof >= min(freedoms_here) * (1 - 1e-9)


@given(st.floats(1, 1e6), st.floats(1, 1e6), st.floats(0.01, 0.999))
def test_more_degrees_of_freedom_never_widen(one: float, other: float, coverage: float) -> None:
    fewer, more = sorted((one, other))
    assert coverage_factor(more, coverage) <= coverage_factor(fewer, coverage) * (1 + 1e-9)
    assert coverage_factor(INFINITE, coverage) <= coverage_factor(more, coverage) * (1 + 1e-9)


def test_micrometres_in_metres_do_not_vanish_in_their_fourth_powers() -> None:
    lines = [Contribution("a", 0, 1e-90, 1, 4), Contribution("b", 0, 1e-90, 1, 4)]
    assert effective_degrees_of_freedom(lines) == pytest.approx(8)


@pytest.mark.parametrize(
    ("uncertainty", "printed"),
    [
        (0.00201, "0.0021"),
        (0.002, "0.0020"),
        (0.002 + 1e-17, "0.0020"),
        (0.0996, "0.10"),
        (1234.5, "1300"),
        (0.0, "0"),
    ],
)
def test_an_uncertainty_is_printed_with_two_digits_and_never_promises_more(uncertainty: float, printed: str) -> None:
    # JCGM 100, 7.2.6: two significant digits at most, rounding up.
    assert str(two_digits_up(uncertainty)) == printed


@given(st.floats(1e-9, 1e9))
def test_the_printed_uncertainty_is_the_real_one_or_at_most_a_tenth_more(uncertainty: float) -> None:
    printed = two_digits_up(uncertainty)
    assert Decimal(uncertainty) * (1 - Decimal("1e-9")) <= printed <= Decimal(uncertainty) * Decimal("1.11")


NAN = math.nan


@pytest.mark.parametrize(
    ("make", "code", "field"),
    [
        (lambda: from_expanded("x", 0.1, 0), "coverage-factor-not-positive", "k"),
        (lambda: from_expanded("x", -0.1, 2), "uncertainty-negative", "expanded_uncertainty"),
        (lambda: from_half_width("x", NAN, Distribution.RECTANGULAR), "uncertainty-negative", "half_width"),
        (lambda: from_half_width("x", 1, Distribution.NORMAL), "half-width-of-a-normal", "distribution"),
        (lambda: from_resolution("x", -1), "uncertainty-negative", "resolution"),
        (lambda: from_readings("x", [1.0]), "too-few-readings", "readings"),
        (lambda: from_readings("x", [1.0, NAN]), "reading-not-finite", "readings"),
        (lambda: from_history("x", 0.1, 5, readings=0), "too-few-readings", "readings"),
        (lambda: from_history("x", 0.1, 0.5), "degrees-of-freedom-too-few", "degrees_of_freedom"),
        (lambda: pooled_deviation([[1], [2]]), "too-few-readings", "history"),
        (lambda: Contribution(" ", 0, 1), "contribution-unnamed", "name"),
        (lambda: Contribution("x", NAN, 1), "contribution-not-a-number", "estimate"),
        (lambda: Contribution("x", 0, -1), "contribution-not-a-number", "standard_uncertainty"),
        (lambda: Contribution("x", 0, 1, math.inf), "contribution-not-a-number", "sensitivity"),
        (lambda: Contribution("x", 0, 1, 1, NAN), "degrees-of-freedom-too-few", "degrees_of_freedom"),
        (lambda: coverage_factor(5, 1.0), "coverage-not-a-probability", "coverage_percent"),
        (lambda: coverage_factor(0.2), "degrees-of-freedom-too-few", "degrees_of_freedom"),
        (lambda: expand([]), "budget-empty", "contributions"),
        (lambda: expand([Contribution("x", 0, 1)] * 2), "contribution-twice", "contributions"),
    ],
)
def test_what_has_no_meaning_is_refused_by_its_field(make: object, code: str, field: str) -> None:
    with pytest.raises(MetrologyError) as refusal:
        make()  # type: ignore[operator]
    assert (refusal.value.code, refusal.value.field) == (code, field)


@pytest.mark.parametrize(
    ("correlations", "code"),
    [
        ([Correlation("a", "z", 0.5)], "correlation-unknown"),
        ([Correlation("a", "a", 0.5)], "correlation-unknown"),
        ([Correlation("a", "b", 0.5), Correlation("b", "a", 0.5)], "correlation-unknown"),
        ([Correlation("a", "b", 1.5)], "correlation-out-of-range"),
        ([Correlation("a", "b", NAN)], "correlation-out-of-range"),
        ([Correlation("a", "d", 0.5)], "correlation-finite-freedom"),
        ([Correlation(*pair, -1.0) for pair in ("ab", "bc", "ac")], "correlation-impossible"),
    ],
)
def test_correlations_that_cannot_be_are_refused(correlations: list[Correlation], code: str) -> None:
    lines = [Contribution(name, 0, 1, 1, 4 if name == "d" else INFINITE) for name in "abcd"]
    if code == "correlation-impossible":
        lines.pop()
    with pytest.raises(MetrologyError) as refusal:
        expand(lines, correlations=correlations)
    assert (refusal.value.code, refusal.value.field) == (code, "correlations")
