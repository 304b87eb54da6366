"""Back leakage against the plan's volume in its time. Plan, cylinder and volumes are invented.

The cylinder's U is 0.1 ml and its step 0.2 ml: with 60 s, where a ml is a ml/min, U of the flow is some 0.15 ml/min.
"""

from dataclasses import replace
from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.errors import DomainError
from service.workshop.bench_judgement import judge_step
from service.workshop.step_results import BackLeakageResult, StepOutcome
from tests.longer_plan import CYLINDER, LEAKAGE, LONGER_PLAN, caught
from tests.small_sheet import INSTRUMENTS
from tests.workshop.overhaul_by_hand import RULE


def judged(result: BackLeakageResult) -> StepOutcome:
    return judge_step(LONGER_PLAN, LEAKAGE, result, INSTRUMENTS["GAUGE-1"], RULE)


def told(result: BackLeakageResult) -> str:
    outcome = judged(result)
    return "pass" if outcome.passed else "fail" if outcome.failed else "cannot tell"


@pytest.mark.parametrize(
    ("volume", "seconds", "bar", "verdict"),
    [
        ("6", 60, "200", "pass"),
        ("12", 120, "200", "pass"),  # twice the time, twice the volume: the same flow
        ("3", 30, "200", "pass"),
        ("11", 60, "200", "fail"),
        ("5.6", 30, "200", "fail"),  # 11.2 ml/min
        ("9.95", 60, "200", "cannot tell"),  # inside by less than U
        ("10.05", 60, "200", "cannot tell"),
        ("1", 60, "200", "fail"),  # a guide that runs dry
        ("2.05", 60, "200", "cannot tell"),
        ("6", 60, "199.9", "cannot tell"),  # less pressure presses less oil through
        ("1", 60, "199.9", "cannot tell"),
        ("11", 60, "199.9", "fail"),  # too much already
        ("6", 60, "230", "pass"),
        ("3", 60, "400", "cannot tell"),  # 1.5 ml/min at 200 bar: a guide that runs dry
        ("12", 60, "400", "cannot tell"),  # 6 ml/min at 200 bar: nothing wrong with it
        ("12", 60, "2000", "cannot tell"),  # 1.2 ml/min at 200 bar: too much there, too little here
        ("25", 60, "230", "fail"),
        ("1", 60, "400", "fail"),  # too little already
    ],
)
def test_the_flow_is_judged_with_its_doubt(volume: str, seconds: int, bar: str, verdict: str) -> None:
    assert told(caught(volume, seconds=seconds, bar=bar)) == verdict


def test_without_a_least_volume_a_dry_return_passes() -> None:
    step = replace(LEAKAGE, volume_min_ml=None)
    assert judge_step(LONGER_PLAN, step, caught("0"), INSTRUMENTS["GAUGE-1"], RULE).passed


def test_a_longer_catch_makes_the_doubt_smaller() -> None:
    short, long = judged(caught("3", seconds=30)).uncertainty, judged(caught("12", seconds=120)).uncertainty
    assert short is not None
    assert long is not None
    assert long.expanded < short.expanded / 3
    assert short.unit == "ml/min"


def test_the_doubt_is_never_less_than_the_cylinders_own() -> None:
    perfect = replace(CYLINDER, resolution=None, k=D(3))
    budget = judged(replace(caught("0", seconds=30), cylinder=perfect)).uncertainty
    assert budget is not None
    assert budget.expanded == D("0.2")  # 0.1 ml in half a minute


def test_the_answer_names_volume_time_pressure_and_flow() -> None:
    outcome = judged(caught())
    assert outcome.value == "6 ml in 60 s at 200 bar, 6 ml/min"
    assert outcome.limit == "2 to 10 ml in 60 s at 200 bar, 2 to 10 ml/min"
    assert outcome.rule == RULE.text
    assert outcome.probability_of_conformity is not None


def test_a_failed_guide_has_its_causes_and_its_next_action() -> None:
    outcome = judged(caught("11"))
    assert outcome.likely_causes == LEAKAGE.causes
    assert outcome.next_action == LEAKAGE.on_fail


@pytest.mark.parametrize(
    ("result", "field"),
    [
        (replace(caught(), cylinder=None), "cylinder"),
        (caught(seconds=0), "measured_s"),
        (caught(seconds=3601), "measured_s"),
        (caught("-1"), "volume_ml"),
        (caught("NaN"), "volume_ml"),
        (caught(bar="Infinity"), "pressure_bar"),
    ],
)
def test_a_catch_that_nobody_can_have_made_is_refused(result: BackLeakageResult, field: str) -> None:
    with pytest.raises(DomainError) as refusal:
        judged(result)
    assert refusal.value.field == field


@given(st.integers(0, 3000), st.integers(0, 3000), st.integers(5, 600))
def test_more_oil_is_never_told_as_less(one: int, other: int, seconds: int) -> None:
    # Too little, open, pass, open, too much: with the volume only ever on to the next.
    order = {"too little": 0, "pass": 2, "too much": 4}
    places = []
    for thousandths in sorted((one, other)):
        volume = D(thousandths) * seconds / D(12000)
        outcome = judged(caught(str(volume), seconds=seconds))
        flow = volume * 60 / seconds
        word = "pass" if outcome.passed else "too little" if flow < 6 else "too much"
        places.append((1 if flow < 6 else 3) if outcome.undecided else order[word])
    assert places == sorted(places)
