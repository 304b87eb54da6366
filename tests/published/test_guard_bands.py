"""Guard bands against JCGM 106 and ILAC-G8; source and status of each figure in `decision_rules.json`."""

import json
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from service.metrology.conformity import Conforms
from service.metrology.guard_band import FactorOfU, NoGuardBand, TargetProbability, guard_band_width, judge_by

pytestmark = pytest.mark.published

_TEXT = (Path(__file__).parent / "decision_rules.json").read_text(encoding="utf-8")
ITEMS: dict[str, dict[str, Any]] = {item["id"]: item for item in json.loads(_TEXT, parse_float=Decimal)}
TWO = Decimal(2)


@pytest.mark.parametrize("probability", ["0.80", "0.90", "0.95", "0.99", "0.999"])
def test_the_band_for_a_probability_is_that_of_jcgm_106_table_1(probability: str) -> None:
    # JCGM 106:2012 Table 1, one-sided, normal: w = z·u. Figures from memory, computed independently.
    z = ITEMS["jcgm106_table1_z"]
    u = Decimal("0.003")
    for lower, upper in ((Decimal(1), None), (None, Decimal(1))):
        width = guard_band_width(TargetProbability(Decimal(probability)), 2 * u, TWO, lower, upper)
        assert round(width / u, 2) == Decimal(z["published"][probability])
        exact = z["computed_here"][str(float(probability))]
        assert float(width / u) == pytest.approx(float(exact), abs=2e-6)


@pytest.mark.parametrize(
    ("name", "rule"),
    [("simple", NoGuardBand()), ("ISO14253-1:2017", FactorOfU(Decimal("0.83"))), ("w=U", FactorOfU())],
)
def test_a_rule_accepts_within_its_published_limits(name: str, rule: NoGuardBand | FactorOfU) -> None:
    # ILAC-G8:09/2019 table, specification 10 ± 1 with U = 0.2; simple and w = U: two sources agree, 0.83 U: one.
    item = ITEMS["guard_band_multiples"]
    uncertainty, hair = Decimal(item["published_case"]["U(k=2)"]), Decimal("1e-9")
    accept_from, accept_to = (Decimal(edge) for edge in item["computed_here"]["acceptance_limits_for_case"][name])
    for value, accepted in (
        (accept_from, True),
        (accept_to, True),
        (accept_from - hair, False),
        (accept_to + hair, False),
    ):
        verdict = judge_by(rule, value, Decimal(9), Decimal(11), uncertainty)
        assert isinstance(verdict, Conforms) is accepted


def test_the_factor_of_iso_14253_1_keeps_the_risk_under_five_per_cent() -> None:
    # w = 0.83 U for less than 5 % (single source): the exact band for 95 % is a little narrower, 0.8224 U.
    width = guard_band_width(TargetProbability(Decimal("0.95")), Decimal("0.2"), TWO, Decimal(9), Decimal(11))
    assert Decimal("0.822") * Decimal("0.2") < width < Decimal("0.83") * Decimal("0.2")
