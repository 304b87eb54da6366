"""A manager grants or refuses a milder choice."""

import pytest

from service.actions.recording import Form, Recorded
from service.actions.settling import decide_concession, settle_part
from service.actions.shop import Actor, NotFound, Refused, Shop
from service.workshop.permitted import NotPermitted
from service.workshop.vocabulary import Disposition, Stage
from tests.actions.at_the_bench import bring_to, examine, form, newest_journal_row
from tests.actions.duties import Act, is_recorded_once, keeps_out, knows_no_stranger, refuses, tells_what_changed
from tests.registered_fleet import PASSWORD, Fleet
from tests.small_findings import REJECTED


@pytest.fixture
def number(shop: Shop, fleet: Fleet) -> str:
    """An injector whose technician asks to keep a rejected body."""
    made = bring_to(shop, fleet, Stage.EXAMINED, {"body-pin": REJECTED["body-pin"]})
    settle_part(
        shop, fleet.technician, made, form(shop, made), part="body", chosen=Disposition.KEEP, reason="Sound enough."
    )
    return made


def deciding(
    shop: Shop,
    granted: bool = True,
    part: str = "body",
    reason: str = "Seen and weighed.",
    password: str = PASSWORD,
) -> Act:
    def act(actor: Actor, number: str, blank: Form) -> Recorded:
        return decide_concession(
            shop, actor, number, blank, part=part, granted=granted, reason=reason, password=password
        )

    return act


@pytest.mark.parametrize("granted", [True, False])
def test_a_manager_decides_and_nobody_else(shop: Shop, fleet: Fleet, number: str, granted: bool) -> None:
    act = deciding(shop, granted)
    keeps_out(shop, number, act, fleet.technician, fleet.office)
    knows_no_stranger(shop, fleet, number, act, fleet.manager)
    is_recorded_once(shop, number, act, fleet.manager)
    assert newest_journal_row(shop).reason == "Seen and weighed."
    tells_what_changed(shop, number, act, fleet.manager, fleet.second_manager)


def test_a_decision_needs_a_reason_and_a_request(shop: Shop, fleet: Fleet, number: str) -> None:
    for act, kind in (
        (deciding(shop, reason=" "), Refused),
        (deciding(shop, part="propeller"), NotFound),
        (deciding(shop, part="spring"), NotFound),
    ):
        refuses(shop, number, lambda act=act: act(fleet.manager, number, form(shop, number)), kind)  # type: ignore[misc]


def test_no_manager_concedes_a_defect_found_since_the_request(shop: Shop, fleet: Fleet, number: str) -> None:
    examine(shop, fleet, number, "body-pin", REJECTED["body-pin"])
    error = refuses(shop, number, lambda: deciding(shop)(fleet.manager, number, form(shop, number)), NotPermitted)
    assert error.code == "no-request"
