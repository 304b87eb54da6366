"""Engines on board and the injector type that each takes."""

from typing import Annotated

from fastapi import APIRouter, Query

from service.actions.fleets import save_engine
from service.actions.shop import Actor, Shop
from service.api.bodies import After, Answer, Body, Count, IdInPath, Limit, Name, next_after
from service.api.description import READS, WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import Caller, Manager, TheShop
from service.records.api_reads import engines

router = APIRouter(prefix="/engines", tags=["registers"], route_class=ExactRoute)


class EngineBody(Body):
    """An engine of one vessel."""

    vessel_id: Count
    designation: Name
    cylinders: Count
    injectors_per_cylinder: Count = 1
    injector_type_id: Count


class EngineChange(EngineBody):
    """The engine as it is to be, and the version that was seen."""

    version: Count


class EngineAnswer(Answer):
    """An engine."""

    id: int
    vessel_id: int
    designation: str
    cylinders: int
    injectors_per_cylinder: int
    injector_type_id: int
    version: int


class EnginePage(Answer):
    """One page."""

    items: list[EngineAnswer]
    next_after: int | None


@router.get("", operation_id="list_engines", responses=READS)
def list_engines(
    vessel_id: Annotated[int | None, Query(ge=1, le=2_000_000_000)] = None,
    after: After = 0,
    limit: Limit = 50,
    actor: Actor = Caller,
    shop: Shop = TheShop,
) -> EnginePage:
    """Every engine, or those of one vessel; an office sees its own fleet."""
    with shop.store.reading() as session:
        rows = engines(session, actor.fleet, vessel_id, after, limit)
        items = [EngineAnswer.model_validate(row) for row in rows]
    return EnginePage(items=items, next_after=next_after([item.id for item in items], limit))


@router.post("", status_code=201, operation_id="add_engine", responses=WRITES)
def add_engine(body: EngineBody, actor: Actor = Manager, shop: Shop = TheShop) -> EngineAnswer:
    """Add an engine to a vessel."""
    return _saved(shop, save_engine(shop, actor, **body.model_dump()))


@router.put("/{engine_id}", operation_id="change_engine", responses=WRITES)
def change_engine(
    engine_id: IdInPath, body: EngineChange, actor: Actor = Manager, shop: Shop = TheShop
) -> EngineAnswer:
    """Change the engine that was seen at `version`."""
    return _saved(shop, save_engine(shop, actor, engine_id=engine_id, **body.model_dump()))


def _saved(shop: Shop, engine_id: int) -> EngineAnswer:
    with shop.store.reading() as session:
        return EngineAnswer.model_validate(engines(session, None, None, engine_id - 1, 1)[0])
