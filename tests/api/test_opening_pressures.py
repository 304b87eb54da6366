"""The opening pressures of one injector over JSON."""

import pytest

from service.actions.course import return_unrepaired
from service.actions.shop import Shop
from tests.api.callers import Person
from tests.pages.at_the_bench import received
from tests.pages.pressure_sheet import strokes
from tests.registered_fleet import Fleet

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])


def test_each_overhaul_is_answered_and_too_few_give_no_drift(
    shop: Shop, fleet: Fleet, office: Person, other_office: Person
) -> None:
    for opening in ("350", "352"):
        injector = received(shop, fleet, "SN-1001").rebuilt()
        injector.tested(opening=strokes(opening))
        return_unrepaired(shop, fleet.manager, injector.number, injector.form(), reason="Sent on.")
    (unit,) = office.get("/opening-pressures/sn-1001").json()["items"]
    assert [one["as_left_bar"] for one in unit["overhauls"]] == ["350", "352"]
    assert [one["as_found_bar"] for one in unit["overhauls"]] == [None, None]
    assert (unit["drift"], unit["expected"]) == (None, None)
    unknown, foreign = office.get("/opening-pressures/SN-9999"), other_office.get("/opening-pressures/SN-1001")
    assert (unknown.status_code, foreign.status_code) == (404, 404)
