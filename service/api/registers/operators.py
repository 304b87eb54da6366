"""Operators and what their standing orders cover."""

from fastapi import APIRouter
from pydantic import Field, field_validator

from service.actions.fleets import save_operator
from service.actions.shop import Actor, Shop
from service.api.bodies import After, Answer, Body, Count, IdInPath, Limit, Name, Text, next_after
from service.api.description import READS, WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import Caller, Manager, TheShop
from service.records.api_reads import operators
from service.workshop.vocabulary import Disposition

router = APIRouter(prefix="/operators", tags=["registers"], route_class=ExactRoute)


class OperatorBody(Body):
    """An operator; `standing_order` lists what the workshop carries out without asking."""

    name: Name
    contact: Text = ""
    standing_order: frozenset[Disposition] = Field(default=frozenset(), max_length=5)


class OperatorChange(OperatorBody):
    """The operator as it is to be, and the version that was seen."""

    version: Count


class OperatorAnswer(Answer):
    """An operator."""

    id: int
    name: str
    contact: str
    standing_order: list[Disposition]
    version: int

    @field_validator("standing_order", mode="before")
    @classmethod
    def _words(cls, stored: object) -> object:
        return stored.split() if isinstance(stored, str) else stored


class OperatorPage(Answer):
    """One page."""

    items: list[OperatorAnswer]
    next_after: int | None


@router.get("", operation_id="list_operators", responses=READS)
def list_operators(after: After = 0, limit: Limit = 50, actor: Actor = Caller, shop: Shop = TheShop) -> OperatorPage:
    """Every operator; an office sees its own."""
    with shop.store.reading() as session:
        items = [OperatorAnswer.model_validate(row) for row in operators(session, actor.fleet, after, limit)]
    return OperatorPage(items=items, next_after=next_after([item.id for item in items], limit))


@router.post("", status_code=201, operation_id="add_operator", responses=WRITES)
def add_operator(body: OperatorBody, actor: Actor = Manager, shop: Shop = TheShop) -> OperatorAnswer:
    """Add an operator."""
    saved = save_operator(shop, actor, name=body.name, contact=body.contact, standing_order=body.standing_order)
    return _saved(shop, saved)


@router.put("/{operator_id}", operation_id="change_operator", responses=WRITES)
def change_operator(
    operator_id: IdInPath, body: OperatorChange, actor: Actor = Manager, shop: Shop = TheShop
) -> OperatorAnswer:
    """Change the operator that was seen at `version`."""
    save_operator(
        shop,
        actor,
        name=body.name,
        contact=body.contact,
        standing_order=body.standing_order,
        operator_id=operator_id,
        version=body.version,
    )
    return _saved(shop, operator_id)


def _saved(shop: Shop, operator_id: int) -> OperatorAnswer:
    with shop.store.reading() as session:
        return OperatorAnswer.model_validate(operators(session, None, operator_id - 1, 1)[0])
