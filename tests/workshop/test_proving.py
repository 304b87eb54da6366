"""On the test rig: the plan's order counts, and only the last undisturbed run proves anything."""

from dataclasses import replace
from decimal import Decimal as D

import pytest

from service.metrology.errors import DomainError
from service.workshop.bench_judgement import judge_step
from service.workshop.entries import PartFitted
from service.workshop.permitted import NotPermitted
from service.workshop.step_results import (
    EmissionResult,
    ExternalTightnessResult,
    OpeningPressureResult,
    SeatTightnessResult,
    StepOutcome,
    StepResult,
    StrokesResult,
)
from service.workshop.vocabulary import RunPurpose, Stage
from tests.small_findings import FAILING, PASSING
from tests.small_sheet import INSTRUMENTS, PLAN
from tests.workshop.overhaul_by_hand import RULE, ByHand, at_stage


def judged(key: str, result: StepResult) -> StepOutcome:
    return judge_step(PLAN, PLAN.step_by_key[key], result, INSTRUMENTS["GAUGE-1"], RULE)


def refused(key: str, result: StepResult) -> DomainError:
    with pytest.raises(DomainError) as refusal:
        judged(key, result)
    return refusal.value


@pytest.mark.parametrize("key", PASSING)
def test_each_step_passes_on_a_good_result(key: str) -> None:
    outcome = judged(key, PASSING[key])
    assert outcome.passed
    assert outcome.next_action == ""


@pytest.mark.parametrize("key", FAILING)
def test_each_step_fails_on_a_bad_result_and_says_what_to_do(key: str) -> None:
    outcome = judged(key, FAILING[key])
    assert not outcome.passed
    assert outcome.next_action == PLAN.step_by_key[key].on_fail


@pytest.mark.parametrize(
    ("pressure", "held", "why"),
    [("299.9", 10, "the plan asks for 300 bar: not proven tight"), ("300", 9, "asks for 10 s: not proven tight")],
)
def test_a_dry_seat_at_too_low_a_pressure_or_too_short_is_not_proven(pressure: str, held: int, why: str) -> None:
    outcome = judged("seat", SeatTightnessResult(pressure_bar=D(pressure), held_s=held, dry=True))
    assert not outcome.passed
    assert why in outcome.sentence


@pytest.mark.parametrize(
    ("strokes", "why"),
    [
        (("346", "346", "346"), "too near a limit"),
        (("344", "352", "352"), "A single stroke opened outside"),
        (("348", "351", "354"), "The strokes spread over 6 bar"),
        (("365", "365", "365"), "outside 345 to 360 bar"),
    ],
)
def test_the_opening_pressure_is_proven_steady_and_inside_by_every_stroke(strokes: tuple[str, ...], why: str) -> None:
    outcome = judged("opening", OpeningPressureResult(strokes_bar=tuple(D(one) for one in strokes)))
    assert not outcome.passed
    assert why in outcome.sentence


def test_two_strokes_are_too_few_for_an_opening_pressure() -> None:
    assert refused("opening", OpeningPressureResult(strokes_bar=(D(350), D(350)))).code == "too-few-strokes"


def test_a_silent_hole_is_named() -> None:
    assert "No spray from hole 3" in judged("emission", FAILING["emission"]).sentence


def test_the_place_of_a_leak_says_which_seal_failed() -> None:
    assert "the ring under the nut leaks" in judged("external", FAILING["external"]).sentence


def test_a_body_not_held_long_enough_is_not_tight() -> None:
    assert not judged("external", ExternalTightnessResult(pressure_bar=D(100), held_s=29, leaks=())).passed
    assert not judged("external", ExternalTightnessResult(pressure_bar=D(99), held_s=30, leaks=())).passed


@pytest.mark.parametrize(
    ("key", "result"),
    [
        ("seat", SeatTightnessResult(pressure_bar=D("NaN"), held_s=10, dry=True)),
        ("seat", SeatTightnessResult(pressure_bar=D(-1), held_s=10, dry=True)),
        ("seat", SeatTightnessResult(pressure_bar=D(300), held_s=-1, dry=True)),
        ("external", ExternalTightnessResult(pressure_bar=D("Infinity"), held_s=30, leaks=())),
        ("external", ExternalTightnessResult(pressure_bar=D(100), held_s=30, leaks=("roof",))),
        ("blow", StrokesResult(strokes=-1)),
        ("emission", EmissionResult(spraying=(1, 9))),
        ("opening", OpeningPressureResult(strokes_bar=(D(350), D("NaN"), D(350)))),
        ("vent", StrokesResult(strokes=6)),
    ],
)
def test_a_result_that_nobody_can_have_seen_is_refused(key: str, result: StepResult) -> None:
    assert refused(key, result).sentence


def test_the_plans_order_counts() -> None:
    hand = at_stage(Stage.REBUILT)
    run = hand.start_run()
    with pytest.raises(NotPermitted, match="Fill and vent comes next"):
        hand.step(run, "seat", PASSING["seat"])


def test_a_failed_step_ends_the_run() -> None:
    hand = at_stage(Stage.REBUILT)
    run = hand.start_run()
    hand.step(run, "vent", FAILING["vent"])
    assert hand.run(run).failed_step == "vent"
    with pytest.raises(NotPermitted, match="repeat the whole test"):
        hand.step(run, "blow", PASSING["blow"])
    assert ("run-failed", "proving") in [(b.code, b.place) for b in hand.blockers]


@pytest.mark.parametrize("key", [step.key for step in PLAN.steps])
def test_a_run_short_of_one_step_proves_nothing(key: str) -> None:
    hand = at_stage(Stage.REBUILT)
    run = hand.start_run()
    for step in PLAN.steps:
        if step.key == key:
            break
        hand.step(run, step.key, PASSING[step.key])
    assert hand.stage is Stage.REBUILT
    assert [b.code for b in hand.blockers] == ["run-open"]


def test_a_step_is_recorded_once() -> None:
    hand = at_stage(Stage.PROVED)
    run = hand.record.newest_run(RunPurpose.PROVING)
    assert run is not None
    with pytest.raises(NotPermitted, match="nothing more comes next"):
        hand.step(run[0], "vent", PASSING["vent"])


def test_changing_discs_after_a_passed_test_voids_the_pass() -> None:
    hand = at_stage(Stage.PROVED)
    hand.discs()
    assert hand.stage is Stage.AGREED
    assert "Adjusting discs were changed afterwards: Pressure low." in void_reason(hand)


def test_reopening_after_a_passed_test_voids_the_pass() -> None:
    hand = at_stage(Stage.PROVED)
    hand.reopen()
    assert hand.stage is Stage.AGREED
    assert "reopened afterwards: It drips." in void_reason(hand)


def test_fitting_a_seal_after_a_passed_test_voids_the_pass() -> None:
    hand = at_stage(Stage.PROVED)
    hand.put(PartFitted(item="seal-ring", batch="B-2"))
    assert hand.stage is Stage.AGREED
    assert void_reason(hand) == "A part was fitted or reworked afterwards."


def test_tightening_after_a_passed_test_voids_the_pass() -> None:
    hand = at_stage(Stage.PROVED)
    hand.torque()
    assert hand.stage is Stage.REBUILT
    assert void_reason(hand) == "A thread was tightened afterwards."


def test_a_newer_run_voids_the_older_one() -> None:
    hand = at_stage(Stage.PROVED)
    older = hand.record.newest_run(RunPurpose.PROVING)
    assert older is not None
    hand.start_run()
    assert hand.run(older[0]).void_reason == "A newer run was started: the whole test is repeated."
    assert hand.stage is Stage.REBUILT


def test_no_step_is_added_to_a_void_run() -> None:
    hand = at_stage(Stage.REBUILT)
    run = hand.start_run()
    hand.step(run, "vent", PASSING["vent"])
    hand.torque()
    with pytest.raises(NotPermitted, match="This run is void"):
        hand.step(run, "blow", PASSING["blow"])


def test_after_an_adjustment_the_whole_test_proves_it_again() -> None:
    hand = at_stage(Stage.PROVED)
    hand.discs()
    hand.torque()
    assert hand.stage is Stage.REBUILT
    hand.prove()
    assert hand.stage is Stage.PROVED


def test_the_as_found_test_comes_before_stripping_and_no_later_work_undoes_it() -> None:
    hand = at_stage(Stage.RECEIVED)
    run = hand.start_run(RunPurpose.AS_FOUND)
    hand.step(run, "vent", PASSING["vent"])
    hand.strip()
    assert hand.run(run).void_reason == ""
    with pytest.raises(NotPermitted):
        hand.start_run(RunPurpose.AS_FOUND)


def test_nothing_is_added_to_the_as_found_test_once_the_injector_is_rebuilt() -> None:
    hand = at_stage(Stage.RECEIVED)
    run = hand.start_run(RunPurpose.AS_FOUND)
    hand.strip()
    hand.examine_all()
    hand.settle_all()
    hand.rebuild()
    assert hand.stage is Stage.REBUILT
    with pytest.raises(NotPermitted, match="An as-found test ends with stripping"):
        hand.step(run, "vent", PASSING["vent"])


def test_an_as_found_test_proves_nothing() -> None:
    hand = at_stage(Stage.RECEIVED)
    run = hand.start_run(RunPurpose.AS_FOUND)
    for step in PLAN.steps:
        hand.step(run, step.key, PASSING[step.key])
    assert "not-proved" in [blocker.code for blocker in hand.blockers]


def test_a_proving_run_waits_for_the_rebuild() -> None:
    with pytest.raises(NotPermitted, match="Finish the rebuild first"):
        at_stage(Stage.AGREED).start_run()
    with pytest.raises(NotPermitted, match="a proving run after rebuilding"):
        at_stage(Stage.RECEIVED).start_run(RunPurpose.PROVING)


def test_a_run_that_was_never_started_takes_no_step() -> None:
    with pytest.raises(NotPermitted, match="There is no such bench run"):
        at_stage(Stage.REBUILT).step(999, "vent", PASSING["vent"])


def void_reason(hand: ByHand) -> str:
    newest = hand.record.newest_run(RunPurpose.PROVING)
    assert newest is not None
    return hand.run(newest[0]).void_reason


def test_more_discs_than_the_sheet_allows_are_refused() -> None:
    hand = at_stage(Stage.AGREED)
    hand.discs(added=4)
    with pytest.raises(NotPermitted, match="6 added discs are more than the 5 of the limit sheet"):
        hand.discs(added=2)
    hand.discs(added=1)
    hand.discs(added=2, removed=2)
    with pytest.raises(NotPermitted):
        hand.discs(added=1)


def test_the_sheets_own_number_of_discs_counts() -> None:
    hand = at_stage(Stage.AGREED)
    stricter = replace(hand.sheet, discs_added_max=1)
    hand.record = replace(hand.record, sheet=stricter)
    with pytest.raises(NotPermitted):
        hand.discs(added=2)


def test_a_change_of_no_disc_is_no_change() -> None:
    with pytest.raises(NotPermitted, match="Enter the discs added or taken out"):
        at_stage(Stage.AGREED).discs(added=0)
