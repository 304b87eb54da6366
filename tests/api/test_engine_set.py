"""Matching a set over JSON."""

import pytest

from service.actions.releasing import sign_release
from service.actions.shop import Shop
from tests.api.callers import Person
from tests.pages.at_the_bench import Injector
from tests.pages.pressure_sheet import strokes
from tests.pages.unit_register import receive
from tests.registered_fleet import PASSWORD, Fleet

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite", "postgresql"])


def test_a_set_is_answered_with_its_mismatch_and_that_of_the_order_of_arrival(
    shop: Shop, fleet: Fleet, manager: Person, technician: Person
) -> None:
    opening = {"SN-1": "348", "SN-2": "356", "SN-3": "349", "SN-4": "355"}
    for number, bar in zip(receive(shop, fleet, *opening), opening.values(), strict=True):
        injector = Injector(shop, fleet.technician, number).rebuilt()
        injector.tested(opening=strokes(bar))
        sign_release(shop, fleet.manager, number, injector.form(), password=PASSWORD)
    found = manager.get(f"/engines/{fleet.engine_id}/set").json()
    pairs = {frozenset(one["serial"] for one in each["injectors"]) for each in found["cylinders"]}
    assert pairs == {frozenset(("SN-1", "SN-3")), frozenset(("SN-2", "SN-4"))}
    assert found["mismatch"] == pytest.approx(100 * 2 / 352)
    assert found["arrival_mismatch"] == pytest.approx(100 * 14 / 352)
    few = manager.get(f"/engines/{fleet.engine_id}/set", take=["SN-1"]).json()
    assert (few["cylinders"], few["mismatch"]) == ([], None)
    assert "choose more" in few["sentence"]
    assert manager.get("/engines/999/set").status_code == 404
    assert technician.get(f"/engines/{fleet.engine_id}/set").status_code == 403
