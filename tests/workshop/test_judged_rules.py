"""Judging again measures nothing: it neither counts as a measurement after rework nor undoes what was conceded."""

from decimal import Decimal as D

from service.workshop.decision_rule import DecisionRule
from service.workshop.disposition import propose, settlement_in_force
from service.workshop.entries import ConcessionDecided, PartReworked
from service.workshop.judged_rules import judged_earlier, rejudged, rules_judged_by
from service.workshop.rebuild import rebuild_gaps
from service.workshop.vocabulary import Disposition, Phase, Stage, VerdictKind
from tests.small_findings import REJECTED, sizes
from tests.workshop.overhaul_by_hand import RULE, ByHand

SECOND = DecisionRule(D("0.9"), version=2)
SIMPLE = DecisionRule(D(0), version=3)


def again(hand: ByHand, rule: DecisionRule) -> list[int]:
    """Every finding judged again under the rule."""
    return [hand.put(content) for _, content in rejudged(hand.record, rule)]


def examined(**found: str) -> ByHand:
    hand = ByHand()
    hand.strip()
    hand.examine_all({key.replace("_", "-"): sizes("MIC-1", reading) for key, reading in found.items()})
    return hand


def test_judging_again_is_no_measurement_after_a_second_rework() -> None:
    hand = examined(body_seat_width="1.40")
    hand.settle_all()
    hand.put(PartReworked(part="body", method="Ground."))
    hand.examine("body-seat-width", sizes("MIC-1", "1.10"), Phase.AFTER_REWORK)
    hand.put(PartReworked(part="body", method="Ground again."))
    waiting = [task.key for task in rebuild_gaps(hand.record, propose(hand.record)) if task.kind == "recheck"]
    assert waiting == ["body-seat-width"]
    assert again(hand, SECOND)
    still = [task.key for task in rebuild_gaps(hand.record, propose(hand.record)) if task.kind == "recheck"]
    assert still == waiting, "nothing was measured since the second rework"


def test_the_same_verdict_under_another_rule_leaves_a_concession_standing() -> None:
    hand = examined(body_seat_width="1.1995")
    hand.settle("body", Disposition.KEEP, "It seals.")
    hand.put(ConcessionDecided(part="body", chosen=Disposition.KEEP, granted=True, reason="Seen."))
    assert settlement_in_force(hand.record, hand.proposal("body")) is not None
    assert again(hand, SECOND)
    assert settlement_in_force(hand.record, hand.proposal("body")) is not None
    assert hand.record.finding("body-seat-width").outcome.verdict is VerdictKind.NOT_PROVEN  # type: ignore[union-attr]


def test_a_verdict_that_turns_against_the_part_undoes_the_concession() -> None:
    hand = examined(body_seat_width="1.1995")
    hand.settle("body", Disposition.KEEP, "It seals.")
    hand.put(ConcessionDecided(part="body", chosen=Disposition.KEEP, granted=True, reason="Seen."))
    again(hand, SIMPLE)
    again(hand, SECOND)
    assert settlement_in_force(hand.record, hand.proposal("body")) is None
    assert hand.stage is Stage.EXAMINED


def test_only_measured_values_carry_the_workshops_rule() -> None:
    hand = examined()
    assert rules_judged_by(hand.record) == (RULE.text,)
    assert judged_earlier(hand.record, RULE) == ()
    assert {item.characteristic for item in judged_earlier(hand.record, SECOND)} == {
        *("body-seat-width", "nozzle-ovality", "needle-guide", "spring-length", "spring-rate")
    }


def test_a_hole_that_is_not_proven_is_told_from_one_that_failed() -> None:
    hand = ByHand()
    hand.strip()
    oval = hand.examine("nozzle-ovality", REJECTED["nozzle-ovality"])
    assert (oval.failed_holes, oval.unproven_holes) == ((2,), ())
