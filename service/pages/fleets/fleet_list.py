"""All operators with their standing order and their ships, and the injector types."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.rendering import Frame
from service.records.register_reads import OperatorLine, TypeLine, fleets, injector_types
from service.workshop.vocabulary import Disposition

router = APIRouter(prefix="/fleets")


@dataclass(frozen=True)
class OperatorCard:
    """An operator as the list shows it."""

    line: OperatorLine
    standing_order: str


@dataclass(frozen=True)
class FleetsPage:
    """The register of fleets."""

    page: Frame
    operators: tuple[OperatorCard, ...]
    types: tuple[TypeLine, ...]


def standing_order_in_words(order: tuple[Disposition, ...]) -> str:
    """What the workshop may do without asking."""
    if not order:
        return "Ask before any work beyond cleaning and new seals."
    return f"{', '.join(one.label for one in order).capitalize()} without asking."


@router.get("")
def show_fleets(request: Request, actor: Actor = Manager) -> Response:
    """The whole register."""
    renderer = renderer_of(request)
    with shop_of(request).store.reading() as session:
        cards = tuple(OperatorCard(line, standing_order_in_words(line.standing_order)) for line in fleets(session))
        types = injector_types(session)
    return renderer.page("fleets/fleets.html", FleetsPage(renderer.frame("Fleets", actor, "/fleets"), cards, types))
