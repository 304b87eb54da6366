"""A trace is held against the plan: three verdicts, and too few strokes prove nothing."""

from decimal import Decimal as D

import pytest

from service.hydraulics.trace.against_plan import PlanFinding, TracePlan, held_against
from service.hydraulics.trace.analysis import analyse
from service.hydraulics.trace.reading import Trace
from tests.hydraulics.invented_traces import Bench, strokes

TIMES, PRESSURES = strokes(Bench(seed=1)).made(0.002)
ANALYSIS = analyse(Trace(TIMES, PRESSURES, None, len(TIMES), 0))
"""Four openings of 298 to 302 bar, mean 300.25; one hold that falls by 40 bar/min."""


def verdicts(**plan: object) -> dict[str, str]:
    return {one.what: one.verdict for one in findings(**plan)}


def findings(**plan: object) -> tuple[PlanFinding, ...]:
    return held_against(ANALYSIS, TracePlan(**plan))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("low", "high", "doubt", "verdict"),
    [
        ("295", "305", "0", "conforms"),
        ("295", "305", "3", "conforms"),
        ("299", "305", "3", "not-proven"),
        ("299", "305", "0", "does-not-conform"),  # one opening at 298
        ("310", "330", "3", "does-not-conform"),
    ],
)
def test_mean_and_each_opening_are_held_against_the_limits(low: str, high: str, doubt: str, verdict: str) -> None:
    found = verdicts(lower_bar=D(low), upper_bar=D(high), expanded_uncertainty_bar=D(doubt))
    assert found == {"Opening pressure": verdict}


def test_the_spread_has_its_own_limit() -> None:
    assert verdicts(spread_max_bar=D(6)) == {"Spread": "conforms"}
    assert verdicts(spread_max_bar=D(3)) == {"Spread": "does-not-conform"}


def test_too_few_openings_prove_nothing() -> None:
    (found,) = findings(lower_bar=D(295), least_openings=5)
    assert found.verdict == "not-proven"
    assert "4 of at least 5" in found.sentence


@pytest.mark.parametrize(("most", "verdict"), [("42", "conforms"), ("30", "does-not-conform"), ("40", "not-proven")])
def test_a_decay_conforms_where_its_whole_interval_does(most: str, verdict: str) -> None:
    assert verdicts(decay_max_bar_per_min=D(most)) == {"Decay of hold 1": verdict}


def test_a_plan_that_asks_nothing_gives_no_verdict() -> None:
    assert findings() == ()
    assert not TracePlan().asks
    assert TracePlan(upper_bar=D(1)).asks
