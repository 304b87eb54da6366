"""Overhauls in a list, and where one stands in full."""

from typing import Annotated

from fastapi import APIRouter, Query

from service.actions.looking import look_at_overhaul
from service.actions.shop import Actor, Shop
from service.api.bodies import After, InPath, Limit, next_after
from service.api.description import READS
from service.api.exact_json import ExactRoute
from service.api.guards import Caller, TheShop
from service.api.overhauls.standing_answer import OverhaulAnswer, OverhaulLineAnswer, OverhaulPage, overhaul_answer
from service.records.api_reads import overhaul_lines
from service.records.certificate_reads import certificate_of_overhaul
from service.workshop.vocabulary import Stage

router = APIRouter(prefix="/overhauls", tags=["overhauls"], route_class=ExactRoute)


@router.get("", operation_id="list_overhauls", responses=READS)
def list_overhauls(
    stage: Annotated[Stage | None, Query()] = None,
    held: Annotated[bool | None, Query()] = None,
    after: After = 0,
    limit: Limit = 50,
    actor: Actor = Caller,
    shop: Shop = TheShop,
) -> OverhaulPage:
    """Overhauls in the order they were opened; an office sees its own fleet's."""
    with shop.store.reading() as session:
        wanted = stage.value if stage else None
        found = overhaul_lines(session, actor.fleet, stage=wanted, held=held, after=after, limit=limit)
    items = [OverhaulLineAnswer.model_validate(line) for line in found]
    return OverhaulPage(items=items, next_after=next_after([line.id for line in found], limit))


@router.get("/{number}", operation_id="read_overhaul", responses=READS)
def read_overhaul(number: InPath, actor: Actor = Caller, shop: Shop = TheShop) -> OverhaulAnswer:
    """Where the injector stands: what was found, what is proposed and settled, what still blocks its release."""
    loaded = look_at_overhaul(shop, actor, number)
    with shop.store.reading() as session:
        certificate = certificate_of_overhaul(session, loaded.row.id or 0)
    return overhaul_answer(loaded, certificate.number if certificate else None)
