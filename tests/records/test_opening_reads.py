"""Opening pressures of one injector over its overhauls, from the rows of either database."""

from decimal import Decimal as D

from service.actions.course import return_unrepaired
from service.actions.shop import Shop
from service.records.opening_reads import opening_visits
from service.records.unit_reads import units_of_serial
from tests.pages.at_the_bench import received
from tests.pages.pressure_sheet import strokes
from tests.registered_fleet import Fleet


def test_each_overhaul_tells_what_it_left_the_oldest_first(shop: Shop, fleet: Fleet) -> None:
    for opening in ("350", "352"):
        injector = received(shop, fleet, "SN-1").rebuilt()
        injector.tested(opening=strokes(opening))
        return_unrepaired(shop, fleet.manager, injector.number, injector.form(), reason="Sent on.")
    unit = units_of_serial(shop.store, "SN-1", None)["SMALL-1"]
    visits = opening_visits(shop.store, unit.passages)
    assert [(visit.as_found_bar, visit.as_left_bar) for visit in visits] == [(None, D(350)), (None, D(352))]
    assert [visit.overhaul_id for visit in visits] == sorted(visit.overhaul_id for visit in visits)
