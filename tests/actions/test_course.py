"""Holding, lifting the hold, returning unrepaired, condemning."""

from collections.abc import Callable

import pytest

from service.actions.course import condemn, hold, lift_hold, return_unrepaired
from service.actions.recording import Form, Recorded
from service.actions.shop import Actor, Refused, Shop
from service.metrology.errors import DomainError
from service.workshop.permitted import NotPermitted
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to, form, loaded, receive, strip
from tests.actions.duties import Act, is_out_of_place, is_recorded_once, keeps_out, knows_no_stranger, refuses
from tests.registered_fleet import PASSWORD, Fleet


def doing(
    shop: Shop, action: Callable[..., Recorded], reason: str = "Owner in arrears.", password: str = PASSWORD
) -> Act:
    def act(actor: Actor, number: str, blank: Form) -> Recorded:
        signed = {} if action is return_unrepaired else {"password": password}
        return action(shop, actor, number, blank, reason=reason, **signed)

    return act


def test_a_hold_stops_the_bench_until_a_manager_lifts_it(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.RECEIVED)
    keeps_out(shop, number, doing(shop, hold), fleet.office)
    is_recorded_once(shop, number, doing(shop, hold), fleet.technician)
    assert loaded(shop, number).row.held
    error = refuses(shop, number, lambda: strip(shop, fleet, number), NotPermitted)
    assert error.code == "held"
    keeps_out(shop, number, doing(shop, lift_hold), fleet.technician, fleet.office)
    is_recorded_once(shop, number, doing(shop, lift_hold), fleet.manager)
    assert not loaded(shop, number).row.held
    strip(shop, fleet, number)


@pytest.mark.parametrize(("action", "stage"), [(return_unrepaired, "returned"), (condemn, "condemned")])
def test_only_a_manager_lets_an_injector_leave_by_a_side_exit(
    shop: Shop, fleet: Fleet, action: Callable[..., Recorded], stage: str
) -> None:
    number = bring_to(shop, fleet, Stage.STRIPPED)
    act = doing(shop, action)
    keeps_out(shop, number, act, fleet.technician, fleet.office)
    knows_no_stranger(shop, fleet, number, act, fleet.manager)
    is_recorded_once(shop, number, act, fleet.manager)
    after = loaded(shop, number)
    assert (after.row.stage, after.row.closed_at) == (stage, shop.now())
    assert after.unit.condemned is (stage == "condemned")
    is_out_of_place(shop, number, act, fleet.manager)


def test_a_refused_condemnation_leaves_the_unit_uncondemned(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.RECEIVED)
    doing(shop, hold)(fleet.manager, number, form(shop, number))
    refuses(shop, number, lambda: doing(shop, condemn)(fleet.manager, number, form(shop, number)), NotPermitted)
    assert not loaded(shop, number).unit.condemned


@pytest.mark.parametrize("action", [hold, lift_hold, return_unrepaired, condemn])
def test_each_needs_a_reason(shop: Shop, fleet: Fleet, action: Callable[..., Recorded]) -> None:
    number = bring_to(shop, fleet, Stage.RECEIVED)
    act = doing(shop, action, "  ")
    assert refuses(shop, number, lambda: act(fleet.manager, number, form(shop, number)), Refused).field == "reason"


def test_a_form_used_on_one_injector_records_nothing_on_another(shop: Shop, fleet: Fleet) -> None:
    first, second = receive(shop, fleet, "A-1", "A-2")
    blank = form(shop, first)
    doing(shop, hold)(fleet.technician, first, blank)
    doing(shop, hold)(fleet.technician, second, form(shop, second))
    for act in (doing(shop, hold), doing(shop, lift_hold)):
        error = refuses(shop, second, lambda act=act: act(fleet.manager, second, blank), DomainError)  # type: ignore[misc]
        assert error.code == "form-key"
