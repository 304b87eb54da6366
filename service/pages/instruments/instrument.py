"""One instrument's page."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.pages.guards import AtBench, shop_of
from service.pages.instruments.instrument_view import instrument_page
from service.pages.instruments.places import history_of

router = APIRouter(prefix="/instruments")


@router.get("/{code:path}")
def show(request: Request, code: str, actor: Actor = AtBench) -> Response:
    """Its entry, how it stands today and its history."""
    return instrument_page(request, actor, history_of(shop_of(request), code))
