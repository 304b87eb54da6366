"""Instruments with their calibrations."""

from datetime import date

from fastapi import APIRouter

from service.actions.instruments import save_instrument
from service.actions.shop import Actor, NotFound, Shop
from service.api.bodies import After, Answer, Body, Count, InPath, Limit, Name, Number, Text, Yes, next_after, quantity
from service.api.description import READS, WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, Manager, TheShop
from service.records.api_reads import instruments
from service.records.registers import instrument_by_code
from service.workshop.vocabulary import InstrumentKind

router = APIRouter(prefix="/instruments", tags=["registers"], route_class=ExactRoute)


class InstrumentBody(Body):
    """An instrument as its calibration certificate describes it: expanded uncertainty (k = 2) in `unit`."""

    kind: InstrumentKind
    description: Text = ""
    unit: Name
    expanded_uncertainty: Number
    calibration: Name
    due: date
    active: Yes = True


class InstrumentAdded(InstrumentBody):
    """A new instrument with the code that is marked on it."""

    code: Name


class InstrumentChange(InstrumentBody):
    """The instrument as it is to be, and the version that was seen."""

    version: Count


class InstrumentAnswer(Answer):
    """An instrument."""

    id: int
    code: str
    kind: InstrumentKind
    description: str
    unit: str
    expanded_uncertainty: str
    calibration: str
    due: date
    active: bool
    version: int


class InstrumentPage(Answer):
    """One page."""

    items: list[InstrumentAnswer]
    next_after: int | None


@router.get("", operation_id="list_instruments", responses=READS)
def list_instruments(
    after: After = 0, limit: Limit = 50, actor: Actor = AtBench, shop: Shop = TheShop
) -> InstrumentPage:
    """The register of instruments."""
    with shop.store.reading() as session:
        items = [InstrumentAnswer.model_validate(row) for row in instruments(session, after, limit)]
    return InstrumentPage(items=items, next_after=next_after([item.id for item in items], limit))


@router.post("", status_code=201, operation_id="add_instrument", responses=WRITES)
def add_instrument(body: InstrumentAdded, actor: Actor = Manager, shop: Shop = TheShop) -> InstrumentAnswer:
    """Add an instrument."""
    return _save(shop, actor, body, body.code, None)


@router.put("/{code}", operation_id="change_instrument", responses=WRITES)
def change_instrument(
    code: InPath, body: InstrumentChange, actor: Actor = Manager, shop: Shop = TheShop
) -> InstrumentAnswer:
    """Correct the instrument that was seen at `version`, or enter its new calibration."""
    return _save(shop, actor, body, code, body.version)


def _save(shop: Shop, actor: Actor, body: InstrumentBody, code: str, version: int | None) -> InstrumentAnswer:
    saved = save_instrument(
        shop,
        actor,
        code=code,
        kind=body.kind,
        description=body.description,
        unit=body.unit,
        expanded_uncertainty=quantity(body.expanded_uncertainty, None, body.unit, "expanded_uncertainty"),
        calibration=body.calibration,
        due=body.due,
        active=body.active,
        version=version,
    )
    with shop.store.reading() as session:
        row = instrument_by_code(session, saved)
    if row is None:
        raise NotFound("no-instrument", f"There is no instrument {saved}.")
    return InstrumentAnswer.model_validate(row)
