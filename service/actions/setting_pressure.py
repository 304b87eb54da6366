"""What to do about an opening pressure that is off: asked by the bench's pages and by the API."""

from collections.abc import Collection
from decimal import Decimal

from service.actions.recording import load_in_scope
from service.actions.shop import BENCH, Actor, Shop, require
from service.records.adjustment_reads import own_adjustments
from service.records.decision_rules import rule_in_force
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.pressure_setting import PressureSetting, opening_off, set_pressure


def look_at_pressure_setting(
    shop: Shop, actor: Actor, number: str, absent_mm: Collection[Decimal] = ()
) -> PressureSetting | None:
    """The discs that are proposed for the overhaul, None while no opening pressure is off. Raises NotFound."""
    require(actor, *BENCH)
    with shop.store.reading() as session:
        loaded = load_in_scope(session, actor, number)
    return setting_of(shop, loaded, absent_mm)


def setting_of(shop: Shop, loaded: LoadedOverhaul, absent_mm: Collection[Decimal] = ()) -> PressureSetting | None:
    """The same for an overhaul that is loaded already; the own adjustments are read only where they are wanted."""
    with shop.store.reading() as session:
        rule = rule_in_force(session)
    if opening_off(loaded.record, rule) is None:
        return None
    adjustments = own_adjustments(shop.store, loaded.unit.injector_type_id)
    return set_pressure(loaded.record, adjustments, rule, absent_mm)
