"""The ship's office answers for its own fleet, line by line."""

import pytest

from service.actions.recording import Form, Recorded
from service.actions.settling import answer_proposal, settle_part
from service.actions.shop import Actor, Conflict, NotFound, Shop
from service.workshop.vocabulary import Disposition, Stage
from tests.actions.at_the_bench import bring_to, form, loaded
from tests.actions.duties import Act, is_recorded_once, keeps_out, knows_no_stranger, refuses
from tests.registered_fleet import Fleet
from tests.small_findings import REJECTED


@pytest.fixture
def number(shop: Shop, fleet: Fleet) -> str:
    """An injector whose new body is beyond the standing order."""
    return bring_to(shop, fleet, Stage.AGREED, {"body-pin": REJECTED["body-pin"]})


def answering(shop: Shop, accepted: bool = True, part: str = "body") -> Act:
    def act(actor: Actor, number: str, blank: Form) -> Recorded:
        return answer_proposal(shop, actor, number, blank, part=part, accepted=accepted, note=" Go. ")

    return act


@pytest.mark.parametrize(("accepted", "stage"), [(True, Stage.AGREED), (False, Stage.EXAMINED)])
def test_the_office_accepts_or_declines(shop: Shop, fleet: Fleet, number: str, accepted: bool, stage: Stage) -> None:
    act = answering(shop, accepted)
    keeps_out(shop, number, act, fleet.technician, fleet.manager)
    knows_no_stranger(shop, fleet, number, act, fleet.office)
    assert is_recorded_once(shop, number, act, fleet.office).stage is stage


def test_another_fleets_office_is_told_what_it_would_be_told_of_an_unknown_overhaul(
    shop: Shop, fleet: Fleet, number: str
) -> None:
    act = answering(shop)
    theirs = refuses(shop, number, lambda: act(fleet.other_office, number, form(shop, number)), NotFound)
    unknown = refuses(shop, number, lambda: act(fleet.other_office, "OH-2026-9999", form(shop, number)), NotFound)
    assert (theirs.code, theirs.field) == (unknown.code, unknown.field)
    assert theirs.sentence.replace(number, "X") == unknown.sentence.replace("OH-2026-9999", "X")


def test_a_line_that_nobody_asks_is_not_found(shop: Shop, fleet: Fleet, number: str) -> None:
    act = answering(shop, part="spring")
    refuses(shop, number, lambda: act(fleet.office, number, form(shop, number)), NotFound)


def test_the_office_does_not_accept_work_that_was_changed_under_its_hands(
    shop: Shop, fleet: Fleet, number: str
) -> None:
    opened = form(shop, number)
    settle_part(
        shop,
        fleet.technician,
        number,
        form(shop, number),
        part="body",
        chosen=Disposition.REPLACE,
        reason="Settled anew.",
    )
    error = refuses(shop, number, lambda: answering(shop)(fleet.office, number, opened), Conflict)
    assert isinstance(error, Conflict)
    assert "Injector body: replace the part" in error.changes[0]
    assert loaded(shop, number).row.stage == "examined"
