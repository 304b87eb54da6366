"""What every injector workshop does: common practice, no source. Each fact stands with its test."""

from dataclasses import replace
from decimal import Decimal as D

import pytest

from service.hydraulics.discs import USUAL_MOST_DISCS
from service.workshop.disposition import DispositionRefused
from service.workshop.limit_sheet import LimitSheet
from service.workshop.permitted import NotPermitted
from service.workshop.sheet_checks import sheet_faults
from service.workshop.step_results import ExternalTightnessResult, SeatTightnessResult, StrokesResult
from service.workshop.test_plan import StrokesStep
from service.workshop.vocabulary import Disposition, Stage, VerdictKind
from tests.small_findings import PASSING, REJECTED, pins, roundness, seen
from tests.small_sheet import HOLES, PLAN, SMALL_SHEET
from tests.workshop.overhaul_by_hand import ByHand, at_stage

pytestmark = pytest.mark.published


@pytest.mark.parametrize("hole", range(1, HOLES + 1))
def test_a_nozzle_is_discarded_when_the_test_pin_enters_any_one_of_its_holes(hole: int) -> None:
    # common practice, no source
    hand = at_stage(Stage.EXAMINED, {"nozzle-holes": pins(reject_enters=(hole,))})
    assert hand.proposal("nozzle").disposition is Disposition.REPLACE_ASSEMBLY


@pytest.mark.parametrize("hole", range(1, HOLES + 1))
def test_a_nozzle_is_discarded_when_any_hole_has_gone_oval(hole: int) -> None:
    # common practice, no source
    hand = at_stage(Stage.EXAMINED, {"nozzle-ovality": roundness(hole)})
    assert hand.proposal("nozzle").disposition is Disposition.REPLACE_ASSEMBLY


@pytest.mark.parametrize(("magnification", "taken"), [("7", False), ("8", True), ("10", True), ("11", False)])
def test_an_internal_seat_is_examined_at_8_to_10_times(magnification: str, taken: bool) -> None:
    # common practice, no source
    hand = at_stage(Stage.STRIPPED)
    if taken:
        assert hand.examine("needle-seat", seen("even", at=magnification)).verdict is VerdictKind.CONFORMS
    else:
        with pytest.raises(ValueError, match="×"):
            hand.examine("needle-seat", seen("even", at=magnification))


def test_an_impression_in_an_internal_seat_means_a_new_assembly_and_lapping_is_not_accepted() -> None:
    # common practice, no source
    hand = at_stage(Stage.EXAMINED, {"needle-seat": REJECTED["needle-seat"]})
    assert hand.proposal("needle").disposition is Disposition.REPLACE_ASSEMBLY
    with pytest.raises(DispositionRefused, match="never lapped"):
        hand.settle("needle", Disposition.REWORK, "Lapping.")


def test_parts_of_a_matched_assembly_are_not_replaced_singly_the_spring_apart() -> None:
    # common practice, no source
    hand = at_stage(Stage.EXAMINED, {"spring-rate": REJECTED["spring-rate"]})
    with pytest.raises(DispositionRefused, match="not replaced singly"):
        hand.settle("needle", Disposition.REPLACE, "One at hand.")
    assert hand.settle("spring").chosen is Disposition.REPLACE
    assert hand.proposal("nozzle").disposition is Disposition.KEEP


@pytest.mark.parametrize(("below_the_set_pressure", "dry", "passes"), [(50, True, True), (50, False, False)])
def test_no_oil_comes_from_the_nozzle_until_50_bar_below_the_set_opening_pressure(
    below_the_set_pressure: int, dry: bool, passes: bool
) -> None:
    # common practice, no source
    hand, run = proving_until("seat")
    pressure = PLAN.opening_set_bar - below_the_set_pressure
    assert hand.step(run, "seat", SeatTightnessResult(pressure_bar=pressure, held_s=10, dry=dry)).passed is passes


def proving_until(key: str) -> tuple[ByHand, int]:
    """A run that has passed every step before that one."""
    hand = at_stage(Stage.REBUILT)
    run = hand.start_run()
    for step in PLAN.steps:
        if step.key == key:
            break
        hand.step(run, step.key, PASSING[step.key])
    return hand, run


@pytest.mark.parametrize(("strokes", "passes"), [(4, False), (5, True), (10, True), (11, False)])
def test_5_to_10_strokes_open_the_valve_fully_and_blow_out_dirt_before_reading(strokes: int, passes: bool) -> None:
    # common practice, no source
    blow = PLAN.step_by_key["blow"]
    assert isinstance(blow, StrokesStep)
    assert blow == StrokesStep(key=blow.key, title=blow.title, how=blow.how, on_fail=blow.on_fail)
    hand, run = proving_until("blow")
    assert hand.step(run, "blow", StrokesResult(strokes=strokes)).passed is passes


def test_not_more_than_five_extra_discs_adjust_the_pressure() -> None:
    # common practice, no source
    assert USUAL_MOST_DISCS == 5
    assert LimitSheet.discs_added_max == 5
    hand = at_stage(Stage.AGREED)
    hand.discs(added=5)
    with pytest.raises(NotPermitted):
        hand.discs(added=1)


@pytest.mark.parametrize("adjusted", ["discs", "reopened", "tightened"])
def test_after_any_adjustment_the_whole_test_is_repeated(adjusted: str) -> None:
    # common practice, no source
    hand = at_stage(Stage.PROVED)
    if adjusted == "discs":
        hand.discs()
    elif adjusted == "reopened":
        hand.reopen()
    hand.torque()
    assert hand.stage is Stage.REBUILT
    run = hand.start_run()
    with pytest.raises(NotPermitted, match="Fill and vent comes next"):
        hand.step(run, "external", PASSING["external"])


@pytest.mark.parametrize(
    ("place", "seal"), [("nut", "the ring under the nut leaks"), ("union", "the ring of the union leaks")]
)
def test_with_the_return_blocked_the_body_holds_100_bar_and_the_place_of_a_leak_names_the_seal(
    place: str, seal: str
) -> None:
    # common practice, no source
    hand, run = proving_until("external")
    leak = ExternalTightnessResult(pressure_bar=D(100), held_s=30, leaks=(place,))
    outcome = hand.step(run, "external", leak)
    assert not outcome.passed
    assert seal in outcome.sentence


def test_without_the_quick_drop_the_slide_sticks_or_a_hole_is_blocked() -> None:
    # common practice, no source
    hand, run = proving_until("drop")
    outcome = hand.step(run, "drop", replace(PASSING["drop"], seen=False))  # type: ignore[call-arg]
    assert not outcome.passed
    assert "the slide sticks or a hole is blocked" in outcome.sentence


def test_all_sealing_rings_are_renewed_at_each_overhaul() -> None:
    # common practice, no source
    hand = at_stage(Stage.AGREED)
    assert ("rebuild-fit", "seal-ring") in [(blocker.code, blocker.key) for blocker in hand.blockers]
    with pytest.raises(DispositionRefused, match="Every seal is renewed"):
        hand.settle("seal-ring", Disposition.KEEP, "Like new.")
    without = replace(SMALL_SHEET, parts=tuple(replace(part, seal=False) for part in SMALL_SHEET.parts))
    assert "No seal is listed" in " ".join(fault.sentence for fault in sheet_faults(without))


def test_an_opening_pressure_is_read_over_at_least_three_strokes() -> None:
    # common practice, no source
    hand, run = proving_until("opening")
    with pytest.raises(ValueError, match="make 1 more"):
        hand.step(run, "opening", replace(PASSING["opening"], strokes_bar=(D(350), D(351))))  # type: ignore[call-arg]
