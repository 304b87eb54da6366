"""The workshop's decision rule: its kind, its words, its verdicts."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.conformity import judge
from service.metrology.errors import MetrologyError
from service.workshop.decision_rule import DecisionRule, RuleKind

D = Decimal


@pytest.mark.parametrize(
    ("rule", "kind", "text"),
    [
        (
            DecisionRule(),
            RuleKind.GUARD_BAND_BY_UNCERTAINTY,
            "ISO 14253-1, guard band 1 × U",
        ),
        (
            DecisionRule(D("0.830"), version=4),
            RuleKind.GUARD_BAND_BY_UNCERTAINTY,
            "Rule 4: ISO 14253-1, guard band 0.83 × U",
        ),
        (DecisionRule(D(0)), RuleKind.SIMPLE_ACCEPTANCE, "Simple acceptance, JCGM 106:2012 8.2"),
        (
            DecisionRule(probability=D("0.975"), version=5),
            RuleKind.GUARD_BAND_BY_PROBABILITY,
            "Rule 5: JCGM 106:2012 8.3, guard band for 97.5 % probability",
        ),
    ],
)
def test_a_rule_says_what_it_is_and_which_version(rule: DecisionRule, kind: RuleKind, text: str) -> None:
    assert (rule.kind, rule.text) == (kind, text)


@given(
    st.decimals(-2, 2, places=3),
    st.decimals(0, 1, places=3),
    st.sampled_from([D(0), D("0.83"), D(1), D(3)]),
)
def test_by_a_factor_it_judges_exactly_as_the_plain_comparison(
    value: Decimal, uncertainty: Decimal, factor: Decimal
) -> None:
    by_rule = DecisionRule(factor).judge(value, D(-1), D(1), uncertainty)
    assert by_rule == judge(value, D(-1), D(1), uncertainty, factor)


def test_a_higher_probability_asks_for_more_room() -> None:
    near = D("0.97")
    assert DecisionRule(probability=D("0.95")).judge(near, None, D(1), D("0.03")).name == "conforms"
    assert DecisionRule(probability=D("0.999")).judge(near, None, D(1), D("0.03")).name == "not-proven"


def test_a_probability_that_guards_nothing_is_refused() -> None:
    with pytest.raises(MetrologyError) as refusal:
        DecisionRule(probability=D("0.4")).judge(D(1), None, D(2), D("0.1"))
    assert refusal.value.field == "probability"
