"""The workshop's own adjustments, read from what is stored."""

from decimal import Decimal as D

from service.actions.rebuilding import change_discs
from service.actions.shop import Shop
from service.hydraulics.adjustment_slope import Adjustment
from service.records.adjustment_reads import own_adjustments
from service.records.overhaul_store import load_overhaul
from service.workshop.step_results import OpeningPressureResult
from tests.pages.at_the_bench import received
from tests.registered_fleet import Fleet


def _strokes(*bars: str) -> OpeningPressureResult:
    return OpeningPressureResult(strokes_bar=tuple(D(bar) for bar in bars))


def _adjusted(shop: Shop, fleet: Fleet, serial: str, disc: str, before: str, after: str) -> int:
    """An injector that opened wrong, got a disc and was tested again; gives the key of its type."""
    injector = received(shop, fleet, serial).rebuilt()
    injector.tested(opening=_strokes(before, before, before))
    form = injector.form()
    change_discs(shop, fleet.technician, injector.number, form, added=(D(disc),), removed=(), reason="Too low.")
    injector.finish_rebuild()
    injector.tested(opening=_strokes(after, after, after))
    with shop.store.reading() as session:
        loaded = load_overhaul(session, injector.number)
        assert loaded is not None
        return loaded.injector_type.id or 0


def test_each_change_of_discs_between_two_pressures_is_read_the_newest_last(shop: Shop, fleet: Fleet) -> None:
    kind = _adjusted(shop, fleet, "SN-1", "0.50", "335", "350")
    _adjusted(shop, fleet, "SN-2", "0.20", "343", "349")
    assert own_adjustments(shop.store, kind) == (Adjustment(D("0.50"), D(15)), Adjustment(D("0.20"), D(6)))
    assert own_adjustments(shop.store, kind + 1) == ()


def test_injectors_that_were_not_adjusted_tell_nothing(shop: Shop, fleet: Fleet) -> None:
    received(shop, fleet, "SN-1").rebuilt().tested()
    assert own_adjustments(shop.store, 1) == ()
