"""The register of instruments as a list: what measures, how well, and how each stands today."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.instruments.places import place_of, plain_day
from service.pages.rendering import Frame
from service.records.instrument_reads import InstrumentLine, instruments
from service.workshop.calibration import CalibrationState
from service.workshop.vocabulary import Role

router = APIRouter()


@dataclass(frozen=True)
class InstrumentRow:
    """An instrument as the register lists it."""

    href: str
    line: InstrumentLine
    uncertainty_label: str
    due: str


@dataclass(frozen=True)
class StateCount:
    """How many instruments are in one state."""

    label: str
    count: int


@dataclass(frozen=True)
class InstrumentsPage:
    """The register."""

    page: Frame
    rows: tuple[InstrumentRow, ...]
    counts: tuple[StateCount, ...]
    keeps: bool


@router.get("/instruments")
def show_register(request: Request, actor: Actor = AtBench) -> Response:
    """Every instrument with its state today; adding one is the manager's."""
    shop, renderer = shop_of(request), renderer_of(request)
    lines = instruments(shop.store, shop.today)
    context = InstrumentsPage(
        page=renderer.frame("Instruments", actor, "/instruments"),
        rows=tuple(_row(line) for line in lines),
        counts=tuple(
            StateCount(state.label, sum(line.standing is state for line in lines)) for state in CalibrationState
        ),
        keeps=actor.role is Role.MANAGER,
    )
    return renderer.page("instruments/instruments.html", context)


def _row(line: InstrumentLine) -> InstrumentRow:
    return InstrumentRow(place_of(line.code), line, f"k = {line.k}" if line.k else "", plain_day(line.due))
