"""The proposal of discs over JSON."""

from typing import Any

import pytest

from service.actions.shop import Shop
from tests.api.callers import Person
from tests.pages.at_the_bench import Injector, received
from tests.pages.pressure_sheet import put_in_force, strokes
from tests.registered_fleet import Fleet

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])


@pytest.fixture
def weak(registered_store: Any, shop: Shop, fleet: Fleet) -> Injector:
    """Opened at 335 bar; 345 to 360 bar are wanted."""
    put_in_force(shop, fleet)
    injector = received(shop, fleet).rebuilt()
    injector.tested(opening=strokes("335"))
    return injector


def test_the_proposal_is_answered_with_its_slope_and_the_reason(weak: Injector, technician: Person) -> None:
    found = technician.get(f"/overhauls/{weak.number}/pressure-setting").json()["proposal"]
    assert [(one["added_mm"], one["removed_mm"]) for one in found["sets"]] == [(["0.5"], []), (["0.6"], [])]
    assert (found["now_bar"], found["lower_bar"], found["upper_bar"]) == ("335", "347", "358")
    assert (found["advice"], found["slope"]["source"]) == ("change-discs", "geometry")
    assert found["slope"]["why"].startswith("Reckoned from the spring rate")
    without = technician.get(f"/overhauls/{weak.number}/pressure-setting", absent=["0.5", "0,60 mm"])
    assert [one["added_mm"] for one in without.json()["proposal"]["sets"]] == [["0.2", "0.2", "0.2"]]


def test_nothing_is_proposed_while_nothing_is_off(shop: Shop, fleet: Fleet, technician: Person) -> None:
    injector = received(shop, fleet)
    assert technician.get(f"/overhauls/{injector.number}/pressure-setting").json() == {"proposal": None}


def test_an_unknown_overhaul_and_a_disc_that_is_none_are_refused(weak: Injector, technician: Person) -> None:
    assert technician.get("/overhauls/OH-0/pressure-setting").status_code == 404
    refused = technician.get(f"/overhauls/{weak.number}/pressure-setting", absent="thin")
    assert (refused.status_code, refused.json()["field"]) == (422, "absent")
