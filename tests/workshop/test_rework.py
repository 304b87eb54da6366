"""Rework: permitted where metal is left, measured again afterwards, never on a seat that is replaced only."""

from dataclasses import replace
from decimal import Decimal as D

import pytest

from service.workshop.decision_rule import DecisionRule
from service.workshop.disposition import DispositionRefused, propose
from service.workshop.entries import PartReworked
from service.workshop.examination import examine
from service.workshop.limit_sheet import SizeLimits
from service.workshop.permitted import NotPermitted
from service.workshop.rebuild import rebuild_gaps
from service.workshop.vocabulary import Disposition, Phase, Stage, VerdictKind
from tests.small_findings import REJECTED, sizes
from tests.small_sheet import SMALL_SHEET
from tests.workshop.overhaul_by_hand import ByHand, at_stage

WORN = {"body-seat-width": REJECTED["body-seat-width"]}
GROUND = PartReworked(part="body", method="Ground 0.2 mm.")


def agreed_with_a_worn_body() -> ByHand:
    return at_stage(Stage.AGREED, WORN)


def gaps(hand: ByHand) -> list[tuple[str, str]]:
    return [(task.kind, task.key) for task in rebuild_gaps(hand.record, propose(hand.record))]


def test_a_seat_worn_within_the_rework_limit_is_reworked() -> None:
    proposal = agreed_with_a_worn_body().proposal("body")
    assert proposal.disposition is Disposition.REWORK
    assert proposal.forbidden == frozenset()


def test_a_seat_worn_past_the_rework_limit_is_replaced() -> None:
    hand = at_stage(Stage.EXAMINED, {"body-seat-width": sizes("MIC-1", "1.601")})
    assert hand.proposal("body").disposition is Disposition.REPLACE


def test_a_seat_at_the_rework_limit_may_still_be_reworked() -> None:
    hand = at_stage(Stage.EXAMINED, {"body-seat-width": sizes("MIC-1", "1.6")})
    assert hand.proposal("body").disposition is Disposition.REWORK


def test_a_part_not_settled_as_rework_is_not_ground() -> None:
    with pytest.raises(NotPermitted, match="This part is not settled as rework"):
        at_stage(Stage.AGREED).put(GROUND)


def test_the_size_after_rework_is_not_taken_before_the_rework_is_recorded() -> None:
    with pytest.raises(NotPermitted, match="Record the rework first"):
        agreed_with_a_worn_body().examine("body-seat-width", sizes("MIC-1", "1.10"), Phase.AFTER_REWORK)


def test_rework_asks_for_the_size_again_and_a_sound_size_settles_it() -> None:
    hand = agreed_with_a_worn_body()
    assert gaps(hand)[:2] == [("rework", "body"), ("recheck", "body-seat-width")]
    hand.put(GROUND)
    assert gaps(hand)[0] == ("recheck", "body-seat-width")
    hand.examine("body-seat-width", sizes("MIC-1", "1.15"), Phase.AFTER_REWORK)
    assert [kind for kind, _ in gaps(hand)] == ["fit", "torque"]


def test_a_size_not_proven_after_rework_is_not_enough() -> None:
    hand = agreed_with_a_worn_body()
    hand.put(GROUND)
    outcome = hand.examine("body-seat-width", sizes("MIC-1", "1.2"), Phase.AFTER_REWORK)
    assert outcome.verdict is VerdictKind.NOT_PROVEN
    assert ("recheck", "body-seat-width") in gaps(hand)


def test_grinding_once_more_asks_for_the_size_once_more() -> None:
    hand = agreed_with_a_worn_body()
    hand.put(GROUND)
    hand.examine("body-seat-width", sizes("MIC-1", "1.15"), Phase.AFTER_REWORK)
    hand.put(GROUND)
    assert ("recheck", "body-seat-width") in gaps(hand)


def test_a_seat_ground_past_the_rework_limit_is_replaced_after_all() -> None:
    hand = agreed_with_a_worn_body()
    hand.put(GROUND)
    hand.examine("body-seat-width", sizes("MIC-1", "1.7"), Phase.AFTER_REWORK)
    proposal = hand.proposal("body")
    assert proposal.disposition is Disposition.REPLACE
    assert "after rework" in proposal.reasons[-1]
    assert hand.stage is Stage.EXAMINED
    hand.settle("body")
    hand.rebuild()
    hand.prove()
    assert hand.stage is Stage.PROVED


def test_a_part_ground_and_then_kept_is_measured_all_the_same() -> None:
    hand = at_stage(Stage.STRIPPED)
    hand.examine_all()
    for part in hand.sheet.parts:
        if part.key == "body":
            hand.settle("body", Disposition.REWORK, "The seat looks tired.")
        else:
            hand.settle(part.key)
    hand.put(GROUND)
    hand.settle("body", Disposition.KEEP)
    assert ("recheck", "body-seat-width") in gaps(hand)
    hand.rebuild()
    assert hand.stage is Stage.REBUILT


def test_a_part_spoilt_by_grinding_is_not_kept_on_the_strength_of_its_size_before() -> None:
    hand = at_stage(Stage.STRIPPED)
    hand.examine_all()
    for part in hand.sheet.parts:
        if part.key == "body":
            hand.settle("body", Disposition.REWORK, "The seat looks tired.")
        else:
            hand.settle(part.key)
    hand.put(GROUND)
    hand.examine("body-seat-width", sizes("MIC-1", "1.4"), Phase.AFTER_REWORK)
    assert hand.proposal("body").disposition is Disposition.REWORK
    assert hand.settle("body", Disposition.KEEP, "Good enough.").milder


@pytest.mark.parametrize("conceded", [False, True])
def test_a_replace_only_seat_is_never_lapped_even_where_a_concession_is_in_force(conceded: bool) -> None:
    hand = at_stage(Stage.EXAMINED, {"needle-seat": REJECTED["needle-seat"]})
    if conceded:
        hand.settle("needle", Disposition.KEEP, "Ship waits at anchor.")
        hand.concede("needle")
    with pytest.raises(DispositionRefused, match="never lapped or ground") as refusal:
        hand.settle("needle", Disposition.REWORK, "Only a light lapping.")
    assert refusal.value.code == "forbidden"


def test_one_reading_past_the_rework_limit_decides_though_another_lies_further_out_on_the_other_side() -> None:
    seat = replace(
        SMALL_SHEET.characteristic_by_key["body-seat-width"], limits=SizeLimits(lower=D("1.0"), upper=D("1.2"))
    )
    outcome = examine(seat, sizes("MIC-1", "0.1", "1.601"), DecisionRule())
    assert outcome.consequence is Disposition.REPLACE


def test_a_seat_with_a_rework_limit_is_measured_after_every_rework_though_it_was_sound() -> None:
    unmarked = [
        replace(item, recheck_after_rework=False) if item.key == "body-seat-width" else item
        for item in SMALL_SHEET.characteristics
    ]
    hand = ByHand(replace(SMALL_SHEET, characteristics=tuple(unmarked)))
    hand.strip()
    hand.examine_all({"body-seat-width": sizes("MIC-1", "1.05")})
    hand.settle("body", Disposition.REWORK, "Seat line broken.")
    for part in ("nozzle", "needle", "spring", "seal-ring"):
        hand.settle(part)
    hand.put(GROUND)
    assert gaps(hand)[0] == ("recheck", "body-seat-width")
    hand.examine("body-seat-width", sizes("MIC-1", "1.10"), Phase.AFTER_REWORK)
    assert ("recheck", "body-seat-width") not in gaps(hand)


def test_a_seat_past_a_rework_limit_inside_its_only_limit_has_no_metal_left_either() -> None:
    tight = [
        replace(item, rework_until=D("1.15")) if item.key == "body-seat-width" else item
        for item in SMALL_SHEET.characteristics
    ]
    hand = ByHand(replace(SMALL_SHEET, characteristics=tuple(tight)))
    hand.strip()
    hand.examine_all({"body-seat-width": sizes("MIC-1", "1.25")})
    assert hand.proposal("body").disposition is Disposition.REPLACE
