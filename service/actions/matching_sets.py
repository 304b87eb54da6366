"""Choosing which released injectors of an engine go into one cylinder together."""

from collections.abc import Collection
from dataclasses import dataclass

from service.actions.shop import Actor, NotFound, Shop, require
from service.hydraulics.errors import HydraulicsError
from service.hydraulics.set_matching import EngineSet, MatchedInjector, match_sets
from service.records.engine_set_reads import ReleasedInjector, released_injectors
from service.records.register_reads import EngineLine, VesselLine, engine_line, vessel_line
from service.workshop.vocabulary import Role


@dataclass(frozen=True)
class EngineSetFound:
    """The engine, its released injectors, which of them were taken, and the best set of those, or why there is none."""

    engine: EngineLine
    vessel: VesselLine
    released: tuple[ReleasedInjector, ...]
    taken: frozenset[str]
    found: EngineSet | None
    refusal: str


def look_at_engine_set(shop: Shop, actor: Actor, engine_id: int, take: Collection[str] | None = None) -> EngineSetFound:
    """Match the injectors with these serials into as many cylinders as they fill; None: the newest for a full engine.

    Raises NotFound.
    """
    require(actor, Role.MANAGER)
    with shop.store.reading() as session:
        engine = engine_line(session, engine_id)
        vessel = None if engine is None else vessel_line(session, engine.vessel_id)
    if engine is None or vessel is None:
        raise NotFound("no-engine", "There is no such engine.")
    released = released_injectors(shop.store, engine_id)
    measured = [one for one in released if one.shipped.opening_bar is not None]
    full = engine.cylinders * engine.injectors_per_cylinder
    taken = frozenset(one.serial for one in measured[-full:]) if take is None else frozenset(take)
    injectors = [_injector(one) for one in measured if one.serial in taken]
    fills = min(engine.cylinders, len(injectors) // max(1, engine.injectors_per_cylinder))
    try:
        # Nothing to fill a cylinder with is refused by the same words as too few for it.
        found = match_sets(injectors, max(1, fills), engine.injectors_per_cylinder, engine.cylinders)
    except HydraulicsError as refusal:
        return EngineSetFound(engine, vessel, released, taken, None, refusal.sentence)
    return EngineSetFound(engine, vessel, released, taken, found, "")


def _injector(one: ReleasedInjector) -> MatchedInjector:
    area = one.shipped.area_mm2
    return MatchedInjector(
        one.serial, float(one.shipped.opening_bar or 0), None if area is None else float(area), one.cylinder
    )
