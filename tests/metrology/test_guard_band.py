"""Guard bands of every kind: their widths, their verdicts, their laws."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.conformity import probability_of_conformity
from service.metrology.errors import MetrologyError
from service.metrology.guard_band import (
    FactorOfU,
    FixedWidth,
    GuardBand,
    NoGuardBand,
    TargetProbability,
    guard_band_width,
    judge_by,
)

D = Decimal
TWO = D(2)
RANK = {"does-not-conform": 0, "not-proven": 1, "conforms": 2}
values = st.decimals(-3, 3, places=3)
uncertainties = st.decimals(0, 1, places=3)
rules = st.one_of(
    st.just(NoGuardBand()),
    st.builds(FactorOfU, st.decimals(0, 3, places=2)),
    st.builds(FixedWidth, st.decimals(0, 1, places=3)),
    st.builds(TargetProbability, st.sampled_from([D("0.75"), D("0.95"), D("0.9999")])),
)


@pytest.mark.parametrize(
    ("rule", "width"),
    [(NoGuardBand(), "0"), (FactorOfU(), "0.2"), (FactorOfU(D("0.83")), "0.166"), (FixedWidth(D("0.05")), "0.05")],
)
def test_each_rule_gives_its_width(rule: GuardBand, width: str) -> None:
    assert guard_band_width(rule, D("0.2"), TWO, D(0), D(1)) == D(width)


@given(st.sampled_from([D("0.6"), D("0.9"), D("0.975"), D("0.999")]), st.integers(1, 400), st.booleans())
def test_on_the_edge_of_acceptance_a_value_conforms_with_the_probability_asked_for(
    probability: Decimal, thousandths: int, two_sided: bool
) -> None:
    u = D(thousandths) / 1000
    lower, upper = D(0), D(1) if two_sided else None
    width = guard_band_width(TargetProbability(probability), 2 * u, TWO, lower, upper)
    if two_sided and width > D("0.5"):
        assert probability_of_conformity(D("0.5"), lower, upper, u) < float(probability)
    else:
        assert probability_of_conformity(width, lower, upper, u) >= float(probability) - 1e-12
        assert width == 0 or probability_of_conformity(width - u / 10_000, lower, upper, u) < float(probability)


def test_a_narrow_zone_needs_more_than_the_one_sided_band() -> None:
    # Both tails count when the limits are only 4 standard uncertainties apart.
    rule, u = TargetProbability(D("0.95")), D("0.25")
    assert guard_band_width(rule, 2 * u, TWO, D(0), D(1)) > guard_band_width(rule, 2 * u, TWO, D(0), None)


def test_where_no_value_reaches_the_probability_none_conforms() -> None:
    rule = TargetProbability(D("0.99"))
    for hundredths in range(101):
        assert judge_by(rule, D(hundredths) / 100, D(0), D(1), D(1)).name == "not-proven"


@given(rules, values, values, uncertainties)
def test_nearer_the_middle_of_a_zone_the_verdict_is_never_worse(
    rule: GuardBand, one: Decimal, other: Decimal, uncertainty: Decimal
) -> None:
    nearer, farther = sorted((one, other), key=abs)
    better, worse = (judge_by(rule, value, D(-1), D(1), uncertainty) for value in (nearer, farther))
    assert RANK[better.name] >= RANK[worse.name]


@given(rules, values, uncertainties)
def test_a_value_past_the_guarded_limit_never_conforms(rule: GuardBand, value: Decimal, uncertainty: Decimal) -> None:
    width = guard_band_width(rule, uncertainty, TWO, None, D(1))
    assert (judge_by(rule, value, None, D(1), uncertainty).name == "conforms") is (value <= 1 - width)


@given(values, uncertainties, st.sampled_from([D("0.9"), D("0.99")]))
def test_a_higher_probability_never_accepts_more(value: Decimal, uncertainty: Decimal, probability: Decimal) -> None:
    strict = judge_by(TargetProbability(D("0.995")), value, D(-1), D(1), uncertainty)
    loose = judge_by(TargetProbability(probability), value, D(-1), D(1), uncertainty)
    assert (strict.name, loose.name) != ("conforms", "not-proven")


@pytest.mark.parametrize(
    ("rule", "uncertainty", "k", "code", "field"),
    [
        (FactorOfU(D(-1)), "0.1", "2", "guard-band-negative", "factor"),
        (FixedWidth(D("NaN")), "0.1", "2", "guard-band-negative", "width"),
        (NoGuardBand(), "-0.1", "2", "guard-band-negative", "expanded_uncertainty"),
        (FactorOfU(), "0.1", "0", "coverage-factor-not-positive", "k"),
        (TargetProbability(D("0.5")), "0.1", "2", "probability-out-of-range", "probability"),
        (TargetProbability(D(1)), "0.1", "2", "probability-out-of-range", "probability"),
    ],
)
def test_a_rule_without_meaning_is_refused_by_its_field(
    rule: GuardBand, uncertainty: str, k: str, code: str, field: str
) -> None:
    with pytest.raises(MetrologyError) as refusal:
        judge_by(rule, D(1), D(0), None, D(uncertainty), D(k))
    assert (refusal.value.code, refusal.value.field) == (code, field)
