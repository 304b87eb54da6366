"""The test rigs as the bench sees them: how each stands today, and the way to its check."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.rendering import Frame
from service.pages.test_rigs.places import REGISTER, place_of
from service.pages.test_rigs.rig_words import (
    CheckButton,
    GaugeShown,
    OilShown,
    Sign,
    check_button,
    gauges_shown,
    oil_shown,
    sign_of,
)
from service.records.instrument_reads import instruments
from service.records.rig_reads import known_rigs
from service.workshop.vocabulary import Role

router = APIRouter()


@dataclass(frozen=True)
class RigLine:
    """One rig; no `check` where it is out of use."""

    href: str
    code: str
    description: str
    unit: str
    sign: Sign
    gauges: tuple[GaugeShown, ...]
    oil: OilShown
    check: CheckButton | None


@dataclass(frozen=True)
class TestRigsPage:
    """The list; `keeps`: this person keeps the cards."""

    __test__ = False  # a page, not a test class

    page: Frame
    rigs: tuple[RigLine, ...]
    keeps: bool


@router.get(REGISTER)
def show_rigs(request: Request, actor: Actor = AtBench) -> Response:
    """Every rig, those out of use last."""
    shop, renderer = shop_of(request), renderer_of(request)
    today = shop.today
    with shop.store.reading() as session:
        found = known_rigs(session, today)
    register = instruments(shop.store, today)
    context = TestRigsPage(
        page=renderer.frame("Test rigs", actor, REGISTER),
        rigs=tuple(
            RigLine(
                href=place_of(known.rig.code),
                code=known.rig.code,
                description=known.description,
                unit=known.rig.unit,
                sign=sign_of(known.rig, known.check),
                gauges=gauges_shown(known.rig, register),
                oil=oil_shown(known.rig, today),
                check=check_button(known.rig, known.check),
            )
            for known in found
        ),
        keeps=actor.role is Role.MANAGER,
    )
    return renderer.page("test_rigs/test_rigs.html", context)
