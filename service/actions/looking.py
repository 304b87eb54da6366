"""Looking at an overhaul without changing it, within what the person may see."""

from service.actions.recording import load_in_scope
from service.actions.shop import Actor, Shop
from service.records.overhaul_store import LoadedOverhaul


def look_at_overhaul(shop: Shop, actor: Actor, number: str) -> LoadedOverhaul:
    """The overhaul with everything around it. Raises NotFound, for another fleet's as for an unknown one."""
    with shop.store.reading() as session:
        return load_in_scope(session, actor, number)
