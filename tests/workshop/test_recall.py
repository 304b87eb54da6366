"""A gauge that failed: which verdicts its corrected error would change. Sheet, readings and errors are invented.

The corrected sizes are worked out by hand beside each case: corrected = reading − error (error = indicated − true,
the sign that JCGM 200:2012, 2.16 and 2.17 give an error; clause numbers from memory).
"""

from dataclasses import replace
from decimal import Decimal as D

import pytest

from service.workshop.bench_judgement import judge_step
from service.workshop.calibration import CalibratedPoint, Calibration, FoundState
from service.workshop.correction import Correction
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import BenchStepRecorded, Examined, PartFitted, Torqued
from service.workshop.examination import examine
from service.workshop.measurements import Measurement, Outcome
from service.workshop.recall import CorrectedVerdict, RecallRefused, judge_corrected
from service.workshop.recalled_pins import changed_pins
from service.workshop.recalled_rule import rule_of_text
from service.workshop.step_results import OpeningPressureResult, SeatTightnessResult, StepResult, VentResult
from service.workshop.vocabulary import Phase, VerdictKind
from tests.longer_plan import LEAKAGE, LONGER_PLAN, LONGER_SHEET, caught
from tests.small_findings import SOUND, pins, roundness, seen, sizes
from tests.small_sheet import CALIBRATED_ON, DUE, INSTRUMENTS, SMALL_SHEET

RULE = DecisionRule()
CONFORMS, NOT_PROVEN, FAILS = (
    kind.label for kind in (VerdictKind.CONFORMS, VerdictKind.NOT_PROVEN, VerdictKind.DOES_NOT_CONFORM)
)


def examined(key: str, measurement: Measurement, rule: DecisionRule = RULE) -> Examined:
    item = SMALL_SHEET.characteristic_by_key[key]
    outcome = examine(item, measurement, rule)
    return Examined(characteristic=key, part=item.part, phase=Phase.FOUND, measurement=measurement, outcome=outcome)


def with_error(item: Examined, error: str, in_force: DecisionRule = RULE) -> CorrectedVerdict:
    return judge_corrected(item, SMALL_SHEET, Correction(error=D(error)), in_force)


def told(answer: CorrectedVerdict) -> tuple[str, str, bool]:
    return answer.before, answer.after, answer.changes


def test_a_micrometer_that_read_too_little_passed_a_seat_that_is_too_wide() -> None:
    # At most 1.20 mm; 1.19 was read with an error of −0.02, so the seat is 1.21.
    assert told(with_error(examined("body-seat-width", sizes("MIC-1", "1.19")), "-0.02")) == (CONFORMS, FAILS, True)


def test_a_micrometer_that_read_too_much_did_no_harm_at_an_upper_limit() -> None:
    # 1.19 − 0.02 = 1.17, farther inside.
    assert told(with_error(examined("body-seat-width", sizes("MIC-1", "1.19")), "0.02")) == (CONFORMS, CONFORMS, False)


def test_a_part_was_scrapped_for_nothing_by_a_micrometer_that_read_too_much() -> None:
    assert told(with_error(examined("body-seat-width", sizes("MIC-1", "1.21")), "0.02")) == (FAILS, CONFORMS, True)


def test_a_verdict_falls_to_not_proven_where_the_corrected_size_lies_in_the_guard_band() -> None:
    # 1.1985 + 0.001 = 1.1995: inside by 0.0005, and U is 0.001.
    again = with_error(examined("body-seat-width", sizes("MIC-1", "1.1985")), "-0.001")
    assert told(again) == (CONFORMS, NOT_PROVEN, True)
    assert again.in_words == "Would change to: Not proven"


@pytest.mark.parametrize(
    ("error", "after"),
    [("0.010", FAILS), ("-0.010", FAILS), ("0.001", CONFORMS), ("-0.001", CONFORMS), ("0.004", NOT_PROVEN)],
)
def test_between_two_limits_an_error_does_harm_in_both_directions(error: str, after: str) -> None:
    # 6 h6 is 5.992 to 6.000 mm (ISO 286-2); 5.996 and 5.997 were read.
    assert with_error(examined("needle-guide", sizes("MIC-1", "5.996", "5.997")), error).after == after


@pytest.mark.parametrize(
    ("points", "after"),
    [
        ((("0", "0"), ("10", "0.010")), FAILS),  # 0.005996 and 0.005997 at 6 mm: 5.990 and 5.991 mm
        ((("0", "0.010"), ("6", "0"), ("10", "0.010")), CONFORMS),  # sound at 6 mm, wherever else it was wrong
        ((("7", "0.010"), ("10", "0")), FAILS),  # below its first point the error of that point
    ],
)
def test_an_error_that_grows_over_the_range_is_read_where_the_reading_was_taken(
    points: tuple[tuple[str, str], ...], after: str
) -> None:
    # 6 h6 is 5.992 to 6.000 mm (ISO 286-2); 5.996 and 5.997 were read.
    item = examined("needle-guide", sizes("MIC-1", "5.996", "5.997"))
    listed = tuple(CalibratedPoint(nominal=D(nominal), error=D(error)) for nominal, error in points)
    assert judge_corrected(item, SMALL_SHEET, Correction(points=listed), RULE).after == after


def test_an_error_that_grows_does_not_cancel_in_an_ovality() -> None:
    # Two diameters of 0.860 and 0.900 mm: their difference shrinks by 0.030 mm.
    growing = (CalibratedPoint(nominal=D("0.860"), error=D(0)), CalibratedPoint(nominal=D("0.900"), error=D("0.030")))
    again = judge_corrected(examined("nozzle-ovality", roundness(2)), SMALL_SHEET, Correction(points=growing), RULE)
    assert told(again) == (FAILS, CONFORMS, True)


def test_without_an_error_every_verdict_stays() -> None:
    for key, measurement in SOUND.items():
        again = with_error(examined(key, measurement), "0")
        assert again.open or told(again) == (CONFORMS, CONFORMS, False), key


def test_a_constant_error_cancels_in_an_ovality() -> None:
    for measured in (roundness(), roundness(2)):
        assert not with_error(examined("nozzle-ovality", measured), "0.05").changes


@pytest.mark.parametrize(
    ("sizes_mm", "after"),
    [
        ({}, CONFORMS),
        ({"0.85": "0.845"}, NOT_PROVEN),  # a worn go pin enters a hole that is under size
        ({"0.88": "0.885"}, NOT_PROVEN),  # a thick reject pin is refused by a hole that is over size
        ({"0.85": "0.8805", "0.88": "0.89"}, NOT_PROVEN),  # what entered is not proven as large: U is 0.001 mm
        ({"0.85": "0.882", "0.88": "0.89"}, FAILS),  # what entered was larger than the reject size
        ({"0.88": "0.85"}, NOT_PROVEN),  # go and reject pin of one size contradict each other
        ({"0.85": "0.851", "0.88": "0.879"}, CONFORMS),
    ],
)
def test_holes_are_judged_by_what_the_pins_really_measure(sizes_mm: dict[str, str], after: str) -> None:
    correction = Correction(pins={D(nominal): D(size) for nominal, size in sizes_mm.items()})
    again = judge_corrected(examined("nozzle-holes", pins()), SMALL_SHEET, correction, RULE)
    assert (again.before, again.after) == (CONFORMS, after)


def test_a_nozzle_was_rejected_by_a_reject_pin_that_is_worn() -> None:
    correction = Correction(pins={D("0.88"): D("0.875")})
    again = judge_corrected(examined("nozzle-holes", pins(reject_enters=(3,))), SMALL_SHEET, correction, RULE)
    assert told(again) == (FAILS, NOT_PROVEN, True)
    assert "Hole 3" in again.reason


def test_only_pins_that_moved_by_more_than_the_uncertainty_are_proposed() -> None:
    def calibration(**errors: str) -> Calibration:
        points = tuple(CalibratedPoint(nominal=D(f"0.{pin[1:]}"), error=D(error)) for pin, error in errors.items())
        return Calibration(
            certificate="X", on=CALIBRATED_ON, due=DUE, laboratory="L", expanded_uncertainty=D("0.001"), k=D(2),
            found=FoundState.OUT, points=points,
        )  # fmt: skip

    good, failed = calibration(p84="0.002", p85="0"), calibration(p84="0.001", p85="-0.002", p88="0.003")
    assert changed_pins(good, failed) == {D("0.85"): D("0.848"), D("0.88"): D("0.883")}
    assert changed_pins(None, failed) == {D("0.85"): D("0.848"), D("0.88"): D("0.883")}


def torqued(value: str) -> Torqued:
    outcome = Outcome(verdict=VerdictKind.CONFORMS, value="", limit="", sentence="", rule="Simple acceptance")
    return Torqued(point="nut", value=D(value), wrench=INSTRUMENTS["WRENCH-1"], outcome=outcome)


@pytest.mark.parametrize(("error", "after"), [("5", CONFORMS), ("12", FAILS), ("-8", CONFORMS), ("-11", FAILS)])
def test_a_wrench_that_clicked_at_another_torque(error: str, after: str) -> None:
    # 90 to 110 N·m, 100 was set.
    again = judge_corrected(torqued("100"), SMALL_SHEET, Correction(error=D(error)), RULE)
    assert (again.before, again.after) == (CONFORMS, after)


def step(key: str, result: StepResult) -> BenchStepRecorded:
    plan = SMALL_SHEET.test_plan
    outcome = judge_step(plan, plan.step_by_key[key], result, INSTRUMENTS["GAUGE-1"], RULE)
    return BenchStepRecorded(run=1, step=key, result=result, outcome=outcome)


@pytest.mark.parametrize(
    ("key", "result", "error", "after"),
    [
        ("opening", OpeningPressureResult(strokes_bar=(D(350), D(351), D(352))), "8", "Fail"),  # mean 343, 345 at least
        ("opening", OpeningPressureResult(strokes_bar=(D(350), D(351), D(352))), "2", "Pass"),
        ("seat", SeatTightnessResult(pressure_bar=D(300), held_s=10, dry=True), "5", "Cannot tell"),  # at 295, not 300
        ("seat", SeatTightnessResult(pressure_bar=D(300), held_s=10, dry=True), "-5", "Pass"),
        ("vent", VentResult(air_free=True), "50", "Pass"),  # nothing was read from the gauge
    ],
)
def test_a_pressure_gauge_that_showed_too_much_hides_a_weak_injector(
    key: str, result: StepResult, error: str, after: str
) -> None:
    again = judge_corrected(step(key, result), SMALL_SHEET, Correction(error=D(error)), RULE, INSTRUMENTS["GAUGE-1"])
    assert (again.before, again.after) == ("Pass", after)


def test_what_was_seen_or_lies_beyond_reason_is_left_open() -> None:
    assert with_error(examined("needle-seat", seen("even", at="9")), "1").open
    absurd = with_error(examined("body-seat-width", sizes("MIC-1", "1.10")), "1.10")
    assert (absurd.open, absurd.changes, absurd.in_words) == (True, False, "Cannot be judged again")


def test_an_entry_without_a_verdict_cannot_be_judged_again() -> None:
    with pytest.raises(RecallRefused):
        judge_corrected(PartFitted(item="nozzle", batch="B"), SMALL_SHEET, Correction(), RULE)


def test_the_rule_is_the_one_that_was_stamped_and_not_the_one_now_in_force() -> None:
    # Simple acceptance then: 1.2000 is on the limit and passes; with U as guard band it would not be proven.
    item = examined("body-seat-width", sizes("MIC-1", "1.199"), DecisionRule(D(0), version=1))
    again = with_error(item, "-0.001", DecisionRule(D(1), version=2))
    assert (again.after, again.rule_as_stored, again.rule) == (CONFORMS, True, item.outcome.rule)


def test_an_unreadable_rule_gives_way_to_the_one_in_force_and_the_answer_says_so() -> None:
    item = examined("body-seat-width", sizes("MIC-1", "1.199"))
    odd = replace(item, outcome=replace(item.outcome, rule="By the foreman"))
    again = with_error(odd, "0", DecisionRule(D(0)))
    assert (again.rule_as_stored, again.rule) == (False, DecisionRule(D(0)).text)


@pytest.mark.parametrize(
    "rule",
    [
        DecisionRule(),
        DecisionRule(D(0), version=3),
        DecisionRule(D("0.75"), version=12),
        DecisionRule(probability=D("0.975"), version=2),
    ],
)
def test_every_rule_is_read_back_from_its_text(rule: DecisionRule) -> None:
    assert rule_of_text(rule.text) == rule


def test_rules_are_read_in_the_spelling_with_the_version_first() -> None:
    assert rule_of_text("Rule 4: ISO 14253-1, guard band 1.5 × U") == DecisionRule(D("1.5"), version=4)
    assert rule_of_text("Rule 4, torque: Simple acceptance, JCGM 106:2012 8.2") == DecisionRule(D(0), version=4)
    assert rule_of_text("Required answer") is None


def leaked(volume: str) -> BenchStepRecorded:
    outcome = judge_step(LONGER_PLAN, LEAKAGE, caught(volume), INSTRUMENTS["GAUGE-1"], RULE)
    return BenchStepRecorded(run=1, step="leakage", result=caught(volume), outcome=outcome)


@pytest.mark.parametrize(
    ("volume", "error", "after"),
    [
        ("9.5", "-1", "Fail"),  # 10.5 ml came in 60 s, 10 at most
        ("9.5", "-0.45", "Cannot tell"),  # 9.95 ml
        ("9.5", "1", "Pass"),
        ("2.5", "1", "Fail"),  # 1.5 ml, 2 at least
    ],
)
def test_a_measuring_cylinder_that_showed_too_little_hides_a_worn_guide(volume: str, error: str, after: str) -> None:
    again = judge_corrected(leaked(volume), LONGER_SHEET, Correction(error=D(error)), RULE)
    assert (again.before, again.after, again.rule) == ("Pass", after, RULE.text)


@pytest.mark.parametrize(("error", "after"), [("1", "Cannot tell"), ("-1", "Pass")])
def test_the_gauge_of_the_run_tells_whether_the_oil_was_pressed_hard_enough(error: str, after: str) -> None:
    # 200 bar were asked and read.
    item = leaked("6")
    again = judge_corrected(item, LONGER_SHEET, Correction(error=D(error)), RULE, INSTRUMENTS["GAUGE-1"])
    assert (again.before, again.after) == ("Pass", after)
