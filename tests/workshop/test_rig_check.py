"""The daily check of a test rig, and whether a run may count on it."""

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from math import sqrt

import pytest

from service.workshop.decision_rule import DecisionRule
from service.workshop.measurements import InstrumentUse
from service.workshop.rig_check import CheckRefused, LineHeld, RigCheck, SpringsTried, check_rig, drop_budget
from service.workshop.test_rig import (
    BlankedLine,
    CheckOfTheDay,
    ClampSprings,
    RigOil,
    TestRig,
    why_indicative,
)
from service.workshop.vocabulary import InstrumentKind, VerdictKind
from tests.small_sheet import CALIBRATED_ON, DUE, INSTRUMENTS

D = Decimal
TODAY = date(2026, 3, 2)
GAUGE = replace(INSTRUMENTS["GAUGE-1"], resolution=D(1))
TESTER = InstrumentUse(
    code="FORCE-1",
    kind=InstrumentKind.SPRING_TESTER,
    expanded_uncertainty=D(10),
    unit="N",
    calibration="CAL-FORCE-1",
    due=DUE,
    calibrated_on=CALIBRATED_ON,
)
RIG = TestRig(
    code="RIG-1",
    unit="bar",
    gauges=("GAUGE-1",),
    line=BlankedLine(pressure_bar=D(400), hold_s=60, drop_max_bar=D(10)),
    springs=ClampSprings(count=2, lower_n=D(900), upper_n=D(1100)),
    oil=RigOil(name="Invented oil", viscosity_mm2_s=D("2.6"), changed_on=date(2026, 2, 1)),
    oil_days=90,
)
RULE = DecisionRule()
C, N, F = VerdictKind.CONFORMS, VerdictKind.NOT_PROVEN, VerdictKind.DOES_NOT_CONFORM


def checked(start: str = "400", end: str = "398", held_s: int = 60, forces: tuple[int, ...] = (1000, 1010)) -> RigCheck:
    line = LineHeld(start_bar=D(start), end_bar=D(end), held_s=held_s, gauge=GAUGE)
    springs = SpringsTried(forces_n=tuple(D(force) for force in forces), tester=TESTER)
    return check_rig(RIG, line, springs, TODAY, RULE)


def verdict_of(check: RigCheck, what: str) -> VerdictKind:
    return next(one.verdict for one in check.found if one.what == what)


def test_a_rig_that_holds_with_springs_in_their_band_and_fresh_oil_is_good() -> None:
    check = checked()
    assert check.good
    assert [one.what for one in check.found] == ["Blanked line", "Test oil", "Clamp spring 1", "Clamp spring 2"]


def test_the_drop_is_as_uncertain_as_two_readings_of_the_dial() -> None:
    # JCGM 100:2008, F.2.2.1: a resolution d gives d ÷ √12; 5.2.2: two readings without correlation give it √2 times.
    budget = drop_budget(GAUGE)
    assert float(budget.combined) == pytest.approx(sqrt(2) / sqrt(12), rel=1e-4)


@pytest.mark.parametrize(
    ("start", "end", "held_s", "verdict"),
    [
        ("400", "385", 60, F),
        ("400", "390.5", 60, N),
        ("380", "380", 60, N),
        ("400", "399", 30, N),
        ("380", "350", 10, F),
        # Held ten times as long: 30 bar are at least 3 in 60 s, so no certain fail; 150 bar are at least 15.
        ("400", "370", 600, N),
        ("400", "250", 600, F),
    ],
)
def test_a_line_that_loses_too_much_or_was_held_too_short_is_not_good(
    start: str, end: str, held_s: int, verdict: VerdictKind
) -> None:
    check = checked(start, end, held_s)
    assert verdict_of(check, "Blanked line") is verdict
    assert not check.good


def test_a_line_held_longer_than_asked_is_good_where_it_lost_no_more_than_is_allowed() -> None:
    assert verdict_of(checked(end="392", held_s=600), "Blanked line") is C


def test_a_gauge_of_unknown_resolution_is_as_doubtful_as_its_calibration() -> None:
    budget = drop_budget(replace(GAUGE, resolution=None))
    assert budget.expanded >= GAUGE.expanded_uncertainty * D("1.41")
    assert budget.expanded > drop_budget(GAUGE).expanded


@pytest.mark.parametrize(("force", "verdict"), [(910, C), (905, N), (895, N), (890, F), (1095, N), (1111, F)])
def test_a_clamp_spring_is_judged_by_the_guard_band_of_its_tester(force: int, verdict: VerdictKind) -> None:
    check = checked(forces=(1000, force))
    assert verdict_of(check, "Clamp spring 2") is verdict
    assert check.good is (verdict is C)


def test_old_oil_and_unknown_oil_spoil_the_check() -> None:
    line = LineHeld(start_bar=D(400), end_bar=D(399), held_s=60, gauge=GAUGE)
    springs = SpringsTried(forces_n=(D(1000), D(1000)), tester=TESTER)
    for rig, verdict in ((replace(RIG, oil_days=28), F), (replace(RIG, oil=None), N)):
        assert verdict_of(check_rig(rig, line, springs, TODAY, RULE), "Test oil") is verdict
    last_day = replace(RIG, oil_days=29)
    assert verdict_of(check_rig(last_day, line, springs, TODAY, RULE), "Test oil") is C


def test_a_check_that_nobody_can_have_made_is_refused() -> None:
    for act, field in (
        (lambda: checked(end="401"), "end_bar"),
        (lambda: checked(held_s=-1), "held_s"),
        (lambda: checked(forces=(1000,)), "forces_n"),
    ):
        with pytest.raises(CheckRefused) as refused:
            act()
        assert refused.value.field == field


def test_only_a_good_check_of_that_day_lets_a_run_count() -> None:
    at = datetime(2026, 3, 2, 7, 0, tzinfo=UTC)
    assert why_indicative(RIG, CheckOfTheDay(at, "Tove", good=True), TODAY) == ""
    assert "not good" in why_indicative(RIG, CheckOfTheDay(at, "Tove", good=False), TODAY)
    assert "not been checked" in why_indicative(RIG, None, TODAY)
    assert "no test rig" in why_indicative(None, None, TODAY)
