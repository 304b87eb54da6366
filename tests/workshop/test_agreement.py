"""Work beyond the standing order is asked of the ship's office, line by line."""

import pytest

from service.workshop.entries import OfficeAnswered
from service.workshop.permitted import NotPermitted
from service.workshop.vocabulary import Disposition, Stage
from tests.small_findings import REJECTED, SOUND
from tests.workshop.overhaul_by_hand import ByHand

REWORK, REPLACE = Disposition.REWORK, Disposition.REPLACE


def settled(*standing_order: Disposition, rejected: tuple[str, ...] = ("body-pin",)) -> ByHand:
    hand = ByHand(standing_order=standing_order)
    hand.strip()
    hand.examine_all({key: REJECTED[key] for key in rejected})
    hand.settle_all()
    return hand


def test_work_within_the_standing_order_is_not_asked() -> None:
    hand = settled(REPLACE)
    assert hand.lines == ()
    assert hand.stage is Stage.AGREED


def test_keeping_a_part_and_renewing_a_seal_never_need_asking() -> None:
    assert settled(rejected=()).stage is Stage.AGREED


def test_work_beyond_the_standing_order_waits_for_the_offices_answer() -> None:
    hand = settled(REWORK)
    assert [(line.part, line.disposition, line.accepted) for line in hand.lines] == [("body", REPLACE, None)]
    assert hand.lines[0].reasons[0].startswith("Locating pin: ")
    assert hand.stage is Stage.EXAMINED
    assert ("not-answered", "agreement", "body") in [(b.code, b.place, b.key) for b in hand.blockers]
    hand.answer("body")
    assert hand.stage is Stage.AGREED


def test_declined_work_leads_back_to_settling() -> None:
    hand = settled()
    hand.answer("body", accepted=False)
    assert hand.stage is Stage.EXAMINED
    assert ("declined", "settlement", "body") in [(b.code, b.place, b.key) for b in hand.blockers]


def test_the_office_may_change_its_mind_while_the_line_is_open() -> None:
    hand = settled()
    hand.answer("body", accepted=False)
    hand.answer("body")
    assert hand.stage is Stage.AGREED


def test_an_answer_to_other_work_is_no_answer_to_this() -> None:
    hand = settled(rejected=("body-seat-width",))
    hand.answer("body")
    assert hand.stage is Stage.AGREED
    hand.examine("body-pin", REJECTED["body-pin"])
    hand.settle("body")
    assert [(line.disposition, line.accepted) for line in hand.lines] == [(REPLACE, None)]
    assert hand.stage is Stage.EXAMINED


def test_an_answer_to_a_line_that_nobody_asks_any_more_is_refused() -> None:
    hand = settled(rejected=("body-pin", "spring-rate"))
    hand.examine("body-pin", SOUND["body-pin"])
    hand.settle("body")
    with pytest.raises(NotPermitted, match="Nobody asks the office about this work as it stands"):
        hand.put(OfficeAnswered(part="body", disposition=REPLACE, accepted=True))


def test_the_office_does_not_answer_before_it_is_asked() -> None:
    hand = ByHand(standing_order=())
    hand.strip()
    with pytest.raises(NotPermitted):
        hand.put(OfficeAnswered(part="body", disposition=REWORK, accepted=True))
