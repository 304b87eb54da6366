"""Of a bench step nobody may be able to tell: then it neither passed nor failed, and is recorded again."""

from decimal import Decimal as D

import pytest

from service.metrology.errors import DomainError
from service.workshop.bench_judgement import judge_step
from service.workshop.permitted import NotPermitted
from service.workshop.step_results import (
    EmissionResult,
    ExternalTightnessResult,
    FlushResult,
    OpeningPressureResult,
    QuickDropResult,
    SeatTightnessResult,
    StepOutcome,
    StepResult,
    StrokesResult,
    VentResult,
)
from service.workshop.vocabulary import Stage
from tests.longer_plan import LONGER_PLAN
from tests.small_findings import PASSING
from tests.small_sheet import INSTRUMENTS, PLAN
from tests.workshop.overhaul_by_hand import RULE, at_stage


def seat(pressure: str = "300", held: int = 10, dry: bool | None = True, *leaks: str) -> SeatTightnessResult:
    return SeatTightnessResult(pressure_bar=D(pressure), held_s=held, dry=dry, leaks=leaks)


def body(pressure: str = "100", held: int = 30, *leaks: str, unclear: bool = False) -> ExternalTightnessResult:
    return ExternalTightnessResult(pressure_bar=D(pressure), held_s=held, leaks=leaks, unclear=unclear)


def judged(key: str, result: StepResult) -> StepOutcome:
    return judge_step(LONGER_PLAN, LONGER_PLAN.step_by_key[key], result, INSTRUMENTS["GAUGE-1"], RULE)


@pytest.mark.parametrize(
    ("key", "result"),
    [
        ("vent", VentResult(air_free=None)),
        ("flush", FlushResult(flushed_s=60, clean=None)),
        ("flush", FlushResult(flushed_s=59, clean=True)),
        ("flush", FlushResult(flushed_s=59, clean=False)),
        ("blow", StrokesResult(strokes=4)),
        ("seat", seat(dry=None)),
        ("seat", seat("299.9")),
        ("seat", seat(held=9)),
        ("seat", seat("350", 10, False, "tip")),  # at its opening pressure a sound valve lets oil through
        ("opening", OpeningPressureResult(strokes_bar=(D(346), D(346), D(346)))),
        ("emission", EmissionResult(spraying=(1, 2, 3), unclear=(4,))),
        ("drop", QuickDropResult(seen=None)),
        ("external", body(unclear=True)),
        ("external", body("99")),
        ("external", body(held=29)),
    ],
)
def test_nobody_can_tell_and_the_way_to_an_answer_is_named(key: str, result: StepResult) -> None:
    outcome = judged(key, result)
    assert outcome.undecided
    assert not outcome.passed
    assert not outcome.failed
    assert outcome.next_action
    assert outcome.likely_causes == ()


@pytest.mark.parametrize(
    ("key", "result"),
    [
        ("flush", FlushResult(flushed_s=60, clean=False)),
        ("seat", seat("299.9", 3, False)),
        ("seat", seat("349.9", 10, False)),
        ("opening", OpeningPressureResult(strokes_bar=(D(346), D(346), D(352)))),  # too near a limit, and scattered
        ("emission", EmissionResult(spraying=(1, 2), unclear=(4,))),
        ("external", body("99", 3, "nut", unclear=True)),
    ],
)
def test_a_fail_wins_over_what_nobody_can_tell(key: str, result: StepResult) -> None:
    assert judged(key, result).failed


def test_the_places_of_a_wet_nozzle_say_the_causes_and_the_next_action() -> None:
    step = LONGER_PLAN.step_by_key["seat"]
    tip = judged("seat", seat("300", 10, False, "tip"))
    assert tip.likely_causes == ("seat not tight",)
    assert tip.next_action == "Lap the seat."
    both = judged("seat", seat("300", 10, False, "nut", "tip"))
    assert both.likely_causes == ("seat not tight", "flat face scored")
    assert both.next_action == f"Lap the seat. {step.on_fail}"
    assert "at the tip, under the nozzle nut" in both.sentence


def test_a_wet_nozzle_without_a_place_has_the_causes_of_the_step() -> None:
    step = LONGER_PLAN.step_by_key["seat"]
    wet = judged("seat", seat("300", 10, False))
    assert (wet.likely_causes, wet.next_action) == (step.causes, step.on_fail)


@pytest.mark.parametrize(
    ("key", "result", "field"),
    [
        ("seat", seat("300", 10, True, "tip"), "dry"),
        ("seat", seat("300", 10, None, "tip"), "dry"),
        ("seat", seat("300", 10, False, "roof"), "leaks"),
        ("emission", EmissionResult(spraying=(1, 2, 3), unclear=(3,)), "unclear"),
        ("emission", EmissionResult(spraying=(1, 2, 3), unclear=(9,)), "spraying"),
        ("flush", FlushResult(flushed_s=-1, clean=True), "flushed_s"),
    ],
)
def test_answers_that_contradict_each_other_are_refused(key: str, result: StepResult, field: str) -> None:
    with pytest.raises(DomainError) as refusal:
        judged(key, result)
    assert refusal.value.field == field


def test_a_step_that_nobody_can_tell_of_comes_next_again_and_blocks_the_release() -> None:
    hand = at_stage(Stage.REBUILT)
    run = hand.start_run()
    hand.step(run, "vent", VentResult(air_free=None))
    found = hand.run(run)
    assert found.next_step is PLAN.steps[0]
    assert (found.failed_step, found.undecided_step, found.passed) == (None, "vent", False)
    assert ("run-unclear", "Cannot tell yet: Fill and vent: record it again.") in [
        (one.code, one.sentence) for one in hand.blockers
    ]
    with pytest.raises(NotPermitted, match="Fill and vent comes next"):
        hand.step(run, "blow", PASSING["blow"])


def test_recorded_again_only_the_newest_counts_and_the_earlier_stays() -> None:
    hand = at_stage(Stage.REBUILT)
    run = hand.start_run()
    hand.step(run, "vent", VentResult(air_free=None))
    hand.step(run, "vent", VentResult(air_free=None))
    for step in PLAN.steps:
        hand.step(run, step.key, PASSING[step.key])
    found = hand.run(run)
    assert found.passed
    assert [one.outcome.undecided for one in found.earlier] == [True, True]
    assert hand.stage is Stage.PROVED


def test_a_last_step_that_nobody_can_tell_of_proves_nothing() -> None:
    hand = at_stage(Stage.REBUILT)
    run = hand.start_run()
    for step in PLAN.steps[:-1]:
        hand.step(run, step.key, PASSING[step.key])
    hand.step(run, "external", body(unclear=True))
    assert hand.stage is Stage.REBUILT
    assert [one.code for one in hand.blockers] == ["run-unclear"]
    hand.step(run, "external", body("100", 30, "nut"))
    assert hand.run(run).failed_step == "external"
