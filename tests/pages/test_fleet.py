"""The home of the ship's office: what is in the shop, what waits for it, what went back."""

from collections.abc import Callable

import pytest

from service.actions.course import hold
from service.actions.releasing import sign_release
from service.actions.settling import settle_as_proposed
from service.actions.shop import Shop
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import Visitor, words_of
from tests.pages.unit_register import receive_from_other_fleet
from tests.registered_fleet import PASSWORD, Clock, Fleet
from tests.small_findings import REJECTED


def test_the_office_starts_at_its_own_vessels_with_their_injectors_and_stages(
    injector: Injector, office: Visitor, fleet: Fleet, shop: Shop
) -> None:
    received(shop, fleet, "SN-1002").examined()
    receive_from_other_fleet(shop, fleet, "SN-2001")
    assert office.get("/").headers["location"] == "/fleet"
    told = words_of(office.get("/fleet"))
    assert "Invented Star · IMO 9000003 · 2 here" in told
    assert "SN-1001 SMALL-1 1 Received 20 Mar 2026" in told
    assert "SN-1002 SMALL-1 1 Examined 20 Mar 2026" in told
    assert "SN-2001" not in told
    assert "Invented Moon" not in told


def test_an_empty_shop_is_told_plainly(office: Visitor) -> None:
    told = words_of(office.get("/fleet"))
    assert "None of your injectors is in the shop." in told
    assert "Nothing in the shop from Invented Star." in told
    assert "Nothing was released in the last 60 days." in told


def test_work_that_waits_for_the_office_is_counted_and_leads_to_it(injector: Injector, office: Visitor) -> None:
    injector.examined(spring_length=REJECTED["spring-length"])
    assert "wait" not in words_of(office.get("/fleet"))
    settle_as_proposed(injector.shop, injector.technician, injector.number, injector.form())
    answer = office.get("/fleet")
    assert "One piece of work waits for your answer." in words_of(answer)
    assert "1 to approve" in words_of(answer)
    assert 'href="/approvals"' in answer.text


def test_held_and_late_injectors_are_flagged(
    injector: Injector, visit: Callable[[str], Visitor], fleet: Fleet, shop: Shop, clock: Clock
) -> None:
    hold(shop, fleet.manager, injector.number, injector.form(), reason="Owner asks to wait.", password=PASSWORD)
    clock.advance(days=20)
    told = words_of(visit("office").get("/fleet"))
    assert "Held" in told
    assert "2 days late" in told


def test_a_released_injector_moves_to_the_released_with_its_certificate(
    injector: Injector, visit: Callable[[str], Visitor], fleet: Fleet, shop: Shop, clock: Clock
) -> None:
    injector.rebuilt()
    injector.tested()
    issued = sign_release(shop, fleet.manager, injector.number, injector.form(), password=fleet.password)
    answer = visit("office").get("/fleet")
    assert f'href="/certificates/{issued.number}.pdf"' in answer.text
    assert "None of your injectors is in the shop." in words_of(answer)
    assert issued.number not in visit("office2").get("/fleet").text
    clock.advance(days=61)
    assert issued.number not in visit("office").get("/fleet").text


@pytest.mark.parametrize("login", ["tech", "manager"])
def test_only_a_ships_office_has_a_fleet(visit: Callable[[str], Visitor], login: str) -> None:
    answer = visit(login).get("/fleet")
    assert answer.status_code == 403
    assert "ship's office" in words_of(answer)


def test_nobody_sees_a_fleet_without_signing_in(passer_by: Visitor) -> None:
    assert passer_by.get("/fleet").headers["location"] == "/sign-in?back=/fleet"
