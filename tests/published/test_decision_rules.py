"""Conformity against JCGM 106, ISO 14253-1 and ILAC-G8; source and status of each figure in `decision_rules.json`."""

import json
from decimal import Decimal
from pathlib import Path
from statistics import NormalDist
from typing import Any

import pytest

from service.metrology.conformity import (
    Conforms,
    NotProven,
    judge,
    probability_of_conformity,
)
from service.workshop.decision_rule import DecisionRule

pytestmark = pytest.mark.published

_TEXT = (Path(__file__).parent / "decision_rules.json").read_text(encoding="utf-8")
ITEMS: dict[str, dict[str, Any]] = {item["id"]: item for item in json.loads(_TEXT, parse_float=Decimal)}


def _limit(figures: dict[str, Any], name: str) -> Decimal | None:
    return None if figures.get(name) is None else Decimal(figures[name])


@pytest.mark.parametrize(
    "name",
    [
        # JCGM 106:2012 clause 7 examples; published figures from memory, arithmetic checked independently.
        "jcgm106_7.4_two_sided_oil_viscosity",
        "jcgm106_7_lower_limit_container",
        "jcgm106_7_upper_limit_zener",
    ],
)
def test_the_probability_of_conformity_is_that_of_jcgm_106(name: str) -> None:
    item = ITEMS[name]
    figures = item["published"]
    found = probability_of_conformity(
        Decimal(figures["y"]), _limit(figures, "TL"), _limit(figures, "TU"), Decimal(figures["u"])
    )
    assert round(found, 2) == float(figures["pc"])
    assert found == pytest.approx(float(item["computed_here"]), abs=1e-12)


@pytest.mark.parametrize("probability", ["0.80", "0.90", "0.95", "0.99", "0.999"])
def test_the_one_sided_deviations_of_jcgm_106_table_1_give_their_probability(probability: str) -> None:
    # JCGM 106:2012 Table 1, from memory; z printed to two decimals, so the probability agrees to 0.002.
    z = Decimal(ITEMS["jcgm106_table1_z"]["published"][probability])
    assert probability_of_conformity(z, Decimal(0), None, Decimal(1)) == pytest.approx(float(probability), abs=2e-3)
    exact = Decimal(NormalDist().inv_cdf(float(probability)))
    assert probability_of_conformity(exact, Decimal(0), None, Decimal(1)) == pytest.approx(float(probability))


@pytest.mark.parametrize("case", ITEMS["specific_risk_cpk"]["published"], ids=lambda case: str(case["mean"]))
def test_the_published_specific_risk_is_what_conformity_leaves(case: dict[str, Any]) -> None:
    # Single source: a public test file, named in decision_rules.json; printed to five decimals.
    mean, deviation = Decimal(case["mean"]), Decimal(case["sd"])
    lower, upper = Decimal(case["LL"]), Decimal(case["UL"])
    assert 1 - probability_of_conformity(mean, lower, upper, deviation) == pytest.approx(float(case["risk"]), abs=6e-6)
    if "risk_low" in case:
        low = 1 - probability_of_conformity(mean, lower, None, deviation)
        high = 1 - probability_of_conformity(mean, None, upper, deviation)
        assert low == pytest.approx(float(case["risk_low"]), abs=6e-6)
        assert high == pytest.approx(float(case["risk_high"]), abs=6e-6)


@pytest.mark.parametrize(
    ("rule", "factor", "largest_risk"),
    [
        # ILAC-G8:09/2019 table; simple and w = U two sources agree, the others single source.
        ("simple", "0", 0.5),
        ("ISO14253-1:2017", "0.83", 0.05),
        ("w=U", "1", 0.025),
        ("3 sigma", "1.5", 0.0016),
        ("6 sigma", "3", 1e-6),
    ],
)
def test_each_decision_rule_accepts_from_its_published_limit_on_and_keeps_its_risk(
    rule: str, factor: str, largest_risk: float
) -> None:
    item = ITEMS["guard_band_multiples"]
    lower, upper, uncertainty = Decimal(9), Decimal(11), Decimal(item["published_case"]["U(k=2)"])
    accept_from, accept_to = (Decimal(limit) for limit in item["computed_here"]["acceptance_limits_for_case"][rule])
    hair = Decimal("0.000001")
    for edge, outward in ((accept_from, -hair), (accept_to, hair)):
        assert isinstance(judge(edge, lower, upper, uncertainty, Decimal(factor)), Conforms)
        just_outside = judge(edge + outward, lower, upper, uncertainty, Decimal(factor))
        workshops = DecisionRule(Decimal(factor), version=2)
        assert workshops.judge(edge, lower, upper, uncertainty) == judge(
            edge, lower, upper, uncertainty, Decimal(factor)
        )
        assert workshops.judge(edge + outward, lower, upper, uncertainty) == just_outside
        assert not isinstance(just_outside, Conforms)
        assert isinstance(just_outside, NotProven) == (factor != "0")
    risk = 1 - probability_of_conformity(accept_to, lower, upper, uncertainty / 2)
    assert risk <= largest_risk + 1e-12
