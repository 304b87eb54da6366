"""Vessels by their IMO numbers."""

from fastapi import APIRouter

from service.actions.fleets import save_vessel
from service.actions.shop import Actor, Shop
from service.api.bodies import After, Answer, Body, Count, IdInPath, Limit, Name, next_after
from service.api.description import READS, WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import Caller, Manager, TheShop
from service.records.api_reads import vessels

router = APIRouter(prefix="/vessels", tags=["registers"], route_class=ExactRoute)


class VesselBody(Body):
    """A vessel of one operator."""

    operator_id: Count
    name: Name
    imo_number: Name


class VesselChange(VesselBody):
    """The vessel as it is to be, and the version that was seen."""

    version: Count


class VesselAnswer(Answer):
    """A vessel."""

    id: int
    operator_id: int
    name: str
    imo_number: str
    version: int


class VesselPage(Answer):
    """One page."""

    items: list[VesselAnswer]
    next_after: int | None


@router.get("", operation_id="list_vessels", responses=READS)
def list_vessels(after: After = 0, limit: Limit = 50, actor: Actor = Caller, shop: Shop = TheShop) -> VesselPage:
    """Every vessel; an office sees its own fleet."""
    with shop.store.reading() as session:
        items = [VesselAnswer.model_validate(row) for row in vessels(session, actor.fleet, after, limit)]
    return VesselPage(items=items, next_after=next_after([item.id for item in items], limit))


@router.post("", status_code=201, operation_id="add_vessel", responses=WRITES)
def add_vessel(body: VesselBody, actor: Actor = Manager, shop: Shop = TheShop) -> VesselAnswer:
    """Add a vessel; the check digit of its IMO number is tried."""
    return _saved(shop, save_vessel(shop, actor, operator_id=body.operator_id, name=body.name, imo=body.imo_number))


@router.put("/{vessel_id}", operation_id="change_vessel", responses=WRITES)
def change_vessel(
    vessel_id: IdInPath, body: VesselChange, actor: Actor = Manager, shop: Shop = TheShop
) -> VesselAnswer:
    """Change the vessel that was seen at `version`."""
    save_vessel(
        shop,
        actor,
        operator_id=body.operator_id,
        name=body.name,
        imo=body.imo_number,
        vessel_id=vessel_id,
        version=body.version,
    )
    return _saved(shop, vessel_id)


def _saved(shop: Shop, vessel_id: int) -> VesselAnswer:
    with shop.store.reading() as session:
        return VesselAnswer.model_validate(vessels(session, None, vessel_id - 1, 1)[0])
