"""The stage follows from what is recorded, and the release gate lists all that is missing."""

from datetime import date
from typing import get_args

import pytest

from service.workshop.entries import (
    BenchRunStarted,
    BenchStepRecorded,
    ConcessionDecided,
    Condemned,
    Content,
    Held,
    HoldLifted,
    OfficeAnswered,
    PartReworked,
    Released,
    Reopened,
    Returned,
)
from service.workshop.permitted import STAGES_FOR, NotPermitted, check_permitted
from service.workshop.vocabulary import WAY, Disposition, RunPurpose, Stage
from tests.small_findings import PASSING, REJECTED
from tests.small_sheet import INSTRUMENTS
from tests.workshop.overhaul_by_hand import ByHand, at_stage

PLACES = {
    "hold", "strip", "examination", "settlement", "concession", "agreement", "rebuild", "proving", "exit",
}  # fmt: skip
OPEN = [stage for stage in WAY if not stage.is_exit]
SIGNED = Released(certificate="RC-2026-00001", signed_on=date(2026, 3, 3))


@pytest.mark.parametrize("stage", WAY)
def test_each_stage_follows_from_what_is_recorded(stage: Stage) -> None:
    assert at_stage(stage).stage is stage


@pytest.mark.parametrize("stage", OPEN)
def test_the_gate_is_open_exactly_where_the_injector_is_proved(stage: Stage) -> None:
    assert (at_stage(stage).blockers == ()) is (stage is Stage.PROVED)


@pytest.mark.parametrize("stage", WAY)
def test_every_blocker_names_its_place_and_says_a_sentence(stage: Stage) -> None:
    for blocker in at_stage(stage).blockers:
        assert blocker.place in PLACES
        assert blocker.sentence.endswith(".")


def test_nothing_missing_is_left_out_because_something_else_stands_before_it() -> None:
    hand = at_stage(Stage.RECEIVED)
    hand.put(Held(reason="Owner in arrears."))
    codes = [blocker.code for blocker in hand.blockers]
    assert codes[:2] == ["held", "not-stripped"]
    assert codes.count("not-examined") == len(hand.sheet.characteristics)
    assert {"not-settled", "rebuild-torque", "not-proved"} <= set(codes)


def test_each_unexamined_characteristic_is_named() -> None:
    hand = at_stage(Stage.STRIPPED)
    hand.examine_all(but=("nozzle-holes",))
    missing = [blocker for blocker in hand.blockers if blocker.place == "examination"]
    assert [(blocker.key, blocker.sentence) for blocker in missing] == [
        ("nozzle-holes", "Not examined: Spray holes by gauge pins.")
    ]


@pytest.mark.parametrize("stage", OPEN[:-1])
def test_nobody_signs_before_the_injector_is_proved(stage: Stage) -> None:
    with pytest.raises(NotPermitted):
        at_stage(stage).put(SIGNED)


def test_a_hold_stops_everything_until_it_is_lifted() -> None:
    hand = at_stage(Stage.PROVED)
    hand.put(Held(reason="Wrong serial?"))
    for content in (SIGNED, Reopened(reason="Look."), Returned(reason="Owner asks."), Condemned(reason="Burnt.")):
        with pytest.raises(NotPermitted, match=r"Held: Wrong serial\? A manager must lift the hold first"):
            hand.put(content)
    with pytest.raises(NotPermitted, match="held already"):
        hand.put(Held(reason="Again."))
    hand.put(HoldLifted(reason="Serial checked."))
    hand.put(SIGNED)
    assert hand.stage is Stage.RELEASED


def test_a_hold_that_is_not_there_is_not_lifted() -> None:
    with pytest.raises(NotPermitted, match="not held"):
        at_stage(Stage.RECEIVED).put(HoldLifted(reason="Just in case."))


@pytest.mark.parametrize("stage", OPEN)
@pytest.mark.parametrize(
    ("content", "exit_stage"),
    [(Returned(reason="Owner asks."), Stage.RETURNED), (Condemned(reason="Burnt."), Stage.CONDEMNED)],
)
def test_the_side_exits_are_open_at_every_stage_and_end_the_overhaul(
    stage: Stage, content: Content, exit_stage: Stage
) -> None:
    hand = at_stage(stage)
    hand.put(content)
    assert hand.stage is exit_stage
    assert [blocker.code for blocker in hand.blockers] == ["over"]
    with pytest.raises(NotPermitted, match="This overhaul is over"):
        hand.put(Held(reason="Too late."))


def test_the_table_of_transitions_lists_every_kind_of_entry() -> None:
    assert set(STAGES_FOR) == set(get_args(Content))


SAMPLES: tuple[Content, ...] = (
    PartReworked(part="body", method="Ground."),
    ConcessionDecided(part="body", chosen=Disposition.KEEP, granted=True, reason="Fine."),
    OfficeAnswered(part="body", disposition=Disposition.REWORK, accepted=True),
    Reopened(reason="Look."),
    BenchRunStarted(purpose=RunPurpose.PROVING, gauge=INSTRUMENTS["GAUGE-1"]),
)


OUT_OF_PLACE = [(stage, one) for stage in OPEN for one in SAMPLES if stage not in STAGES_FOR[type(one)]]


@pytest.mark.parametrize(("stage", "content"), OUT_OF_PLACE, ids=lambda one: getattr(one, "kind", str(one)))
def test_an_entry_is_refused_with_the_remedy_outside_its_stages(stage: Stage, content: Content) -> None:
    hand = at_stage(stage)
    with pytest.raises(NotPermitted) as refusal:
        check_permitted(hand.record, content)
    assert refusal.value.code == "stage"
    assert stage.value in refusal.value.sentence


@pytest.mark.parametrize("stage", [stage for stage in OPEN if stage is not Stage.PROVED])
def test_a_release_before_its_time_is_refused_with_everything_that_is_missing(stage: Stage) -> None:
    hand = at_stage(stage)
    with pytest.raises(NotPermitted) as refusal:
        check_permitted(hand.record, SIGNED)
    assert refusal.value.code == "blocked"
    assert all(blocker.sentence in refusal.value.sentence for blocker in hand.blockers)


def test_a_new_defect_takes_a_proved_injector_back_to_examined() -> None:
    hand = at_stage(Stage.PROVED)
    hand.examine("body-pin", REJECTED["body-pin"])
    assert hand.stage is Stage.EXAMINED
    hand.settle("body")
    hand.rebuild()
    assert hand.stage is Stage.REBUILT
    hand.prove()
    hand.release()
    assert hand.stage is Stage.RELEASED


def test_a_part_of_a_renewed_assembly_needs_no_examination() -> None:
    hand = ByHand()
    hand.strip()
    hand.examine_all({"needle-seat": REJECTED["needle-seat"]}, but=("nozzle-holes", "nozzle-tip", "nozzle-ovality"))
    assert hand.stage is Stage.EXAMINED


def test_a_concession_brings_back_the_examination_of_the_mates() -> None:
    hand = ByHand()
    hand.strip()
    hand.examine_all({"needle-seat": REJECTED["needle-seat"]}, but=("nozzle-holes",))
    hand.settle("needle", Disposition.KEEP, "Ship waits.")
    hand.concede("needle")
    assert hand.stage is Stage.STRIPPED
    assert "Not examined: Spray holes by gauge pins." in [blocker.sentence for blocker in hand.blockers]


def test_a_bench_step_without_its_run_is_refused() -> None:
    hand = at_stage(Stage.PROVED)
    newest = hand.record.newest_run(RunPurpose.PROVING)
    assert newest is not None
    step = hand.run(newest[0]).results["vent"]
    with pytest.raises(NotPermitted):
        hand.put(BenchStepRecorded(run=1, step="vent", result=PASSING["vent"], outcome=step.outcome))
