"""Parts, seals and torques: everything fitted, everything tightened after the last opening."""

from decimal import Decimal as D

import pytest

from service.metrology.errors import DomainError
from service.workshop.disposition import propose
from service.workshop.entries import PartFitted
from service.workshop.permitted import NotPermitted
from service.workshop.rebuild import rebuild_gaps
from service.workshop.torque import judge_torque
from service.workshop.vocabulary import PartState, Stage, VerdictKind
from tests.small_findings import REJECTED
from tests.small_sheet import INSTRUMENTS, SMALL_SHEET
from tests.workshop.overhaul_by_hand import RULE, ByHand, at_stage


def sentences(hand: ByHand) -> list[str]:
    return [task.sentence for task in rebuild_gaps(hand.record, propose(hand.record))]


def test_every_seal_is_renewed_at_each_overhaul() -> None:
    assert sentences(at_stage(Stage.AGREED))[0] == "Renew the seal: Sealing ring"


def test_a_matched_assembly_is_fitted_as_one() -> None:
    hand = at_stage(Stage.AGREED, {"needle-seat": REJECTED["needle-seat"]})
    assert "Fit the new matched assembly: Nozzle set" in sentences(hand)
    assert not any("Fit the new part" in one for one in sentences(hand))
    hand.put(PartFitted(item="nozzle-set", batch="N-77"))
    assert "Fit the new matched assembly: Nozzle set" not in sentences(hand)


def test_a_spring_replaced_singly_is_fitted_by_itself() -> None:
    hand = at_stage(Stage.AGREED, {"spring-rate": REJECTED["spring-rate"]})
    assert "Fit the new part: Spring" in sentences(hand)


def test_a_missing_part_is_fitted_new() -> None:
    hand = ByHand()
    hand.strip(body=PartState.MISSING)
    hand.examine_all(but=("body-cracks", "body-seat-width", "body-pin"))
    hand.settle_all()
    assert "Fit the new part: Injector body" in sentences(hand)


def test_a_part_that_is_kept_is_not_fitted_new() -> None:
    with pytest.raises(NotPermitted, match="Nothing new is to be fitted there"):
        at_stage(Stage.AGREED).put(PartFitted(item="body", batch="B-1"))


def test_a_thread_is_tightened_last() -> None:
    with pytest.raises(NotPermitted, match=r"Tighten last\. Still to do: Renew the seal"):
        at_stage(Stage.AGREED).torque()


@pytest.mark.parametrize("opening", ["discs", "reopen", "fit"])
def test_every_opening_asks_for_the_torque_again(opening: str) -> None:
    hand = at_stage(Stage.REBUILT)
    if opening == "discs":
        hand.discs()
    elif opening == "reopen":
        hand.reopen()
    else:
        hand.put(PartFitted(item="seal-ring", batch="B-2"))
    assert sentences(hand) == ["Tighten: Nut of the nozzle, 90 to 110 N·m"]
    assert hand.stage is Stage.AGREED
    hand.torque()
    assert hand.stage is Stage.REBUILT


@pytest.mark.parametrize(("value", "good"), [("89.9", False), ("90", True), ("110", True), ("110.1", False)])
def test_a_torque_inside_the_band_is_good_and_outside_it_is_not(value: str, good: bool) -> None:
    outcome = judge_torque(SMALL_SHEET.torques[0], D(value), INSTRUMENTS["WRENCH-1"], RULE)
    assert outcome.verdict is (VerdictKind.CONFORMS if good else VerdictKind.DOES_NOT_CONFORM)
    assert ("slacken and tighten again" in outcome.sentence) is not good


@pytest.mark.parametrize("value", ["0", "-90", "NaN", "99999"])
def test_a_torque_that_nobody_can_have_applied_is_refused(value: str) -> None:
    with pytest.raises(DomainError) as refusal:
        judge_torque(SMALL_SHEET.torques[0], D(value), INSTRUMENTS["WRENCH-1"], RULE)
    assert refusal.value.field == "value"


def test_a_thread_tightened_wrongly_is_tightened_again() -> None:
    hand = at_stage(Stage.AGREED)
    hand.put(PartFitted(item="seal-ring", batch="B-1"))
    hand.torque("120")
    assert hand.stage is Stage.AGREED
    hand.torque("100")
    assert hand.stage is Stage.REBUILT


def test_a_settlement_made_again_asks_for_the_part_again() -> None:
    hand = at_stage(Stage.REBUILT)
    hand.settle("seal-ring")
    assert sentences(hand)[0] == "Renew the seal: Sealing ring"
