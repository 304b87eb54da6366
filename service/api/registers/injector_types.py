"""Injector types by the workshop's own codes."""

from fastapi import APIRouter

from service.actions.fleets import save_injector_type
from service.actions.shop import Actor, NotFound, Shop
from service.api.bodies import After, Answer, Body, Count, InPath, Limit, Name, next_after
from service.api.description import READS, WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import Caller, Manager, TheShop
from service.records.api_reads import injector_types
from service.records.registers import type_by_code

router = APIRouter(prefix="/injector-types", tags=["registers"], route_class=ExactRoute)


class InjectorTypeBody(Body):
    """A type of injector."""

    code: Name
    name: Name


class InjectorTypeChange(InjectorTypeBody):
    """The type as it is to be, and the version that was seen."""

    version: Count


class InjectorTypeAnswer(Answer):
    """A type of injector."""

    id: int
    code: str
    name: str
    version: int


class InjectorTypePage(Answer):
    """One page."""

    items: list[InjectorTypeAnswer]
    next_after: int | None


@router.get("", operation_id="list_injector_types", responses=READS)
def list_injector_types(
    after: After = 0, limit: Limit = 50, actor: Actor = Caller, shop: Shop = TheShop
) -> InjectorTypePage:
    """Every injector type; an office sees those that its engines take."""
    with shop.store.reading() as session:
        rows = injector_types(session, actor.fleet, after, limit)
        items = [InjectorTypeAnswer.model_validate(row) for row in rows]
    return InjectorTypePage(items=items, next_after=next_after([item.id for item in items], limit))


@router.post("", status_code=201, operation_id="add_injector_type", responses=WRITES)
def add_injector_type(body: InjectorTypeBody, actor: Actor = Manager, shop: Shop = TheShop) -> InjectorTypeAnswer:
    """Add an injector type; its limit sheet is imported afterwards."""
    return _saved(shop, save_injector_type(shop, actor, code=body.code, name=body.name))


@router.put("/{code}", operation_id="change_injector_type", responses=WRITES)
def change_injector_type(
    code: InPath, body: InjectorTypeChange, actor: Actor = Manager, shop: Shop = TheShop
) -> InjectorTypeAnswer:
    """Change the injector type that was seen at `version`."""
    with shop.store.reading() as session:
        row = type_by_code(session, code)
    if row is None:
        raise NotFound("no-type", f"There is no injector type {code}.")
    return _saved(shop, save_injector_type(shop, actor, type_id=row.id, **body.model_dump()))


def _saved(shop: Shop, type_id: int) -> InjectorTypeAnswer:
    with shop.store.reading() as session:
        return InjectorTypeAnswer.model_validate(injector_types(session, None, type_id - 1, 1)[0])
