"""The register of instruments: what they are, and whether they may be used."""

from collections.abc import Callable
from datetime import date
from decimal import Decimal

from fastapi import APIRouter

from service.actions.instruments import (
    quarantine_instrument,
    release_instrument,
    save_instrument,
    withdraw_instrument,
)
from service.actions.shop import Actor, NotFound, Shop
from service.api.bodies import (
    After,
    Answer,
    Body,
    Count,
    Exact,
    InPath,
    Limit,
    Name,
    Number,
    Text,
    next_after,
    quantity,
)
from service.api.description import READS, WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, Manager, TheShop
from service.records.instrument_reads import InstrumentHistory, instrument_history, instruments
from service.workshop.calibration import CalibrationState, InstrumentState, calibration_state, in_force
from service.workshop.vocabulary import InstrumentKind

router = APIRouter(prefix="/instruments", tags=["registers"], route_class=ExactRoute)

_ACTIONS: dict[InstrumentState, Callable[..., None]] = {
    InstrumentState.QUARANTINED: quarantine_instrument,
    InstrumentState.IN_USE: release_instrument,
    InstrumentState.WITHDRAWN: withdraw_instrument,
}


class InstrumentBody(Body):
    """An instrument. Range and resolution in `unit`; `pins` are the nominal sizes (mm) of a gauge pin set.

    `repeatability` is the standard deviation, in `unit`, of `repeatability_readings` repeats of one place with it: a
    single reading is judged with it.
    """

    kind: InstrumentKind
    description: Text = ""
    unit: Name
    lower: Number | None = None
    upper: Number | None = None
    resolution: Number | None = None
    repeatability: Number | None = None
    repeatability_readings: Count | None = None
    location: Name = ""
    pins: tuple[Number, ...] = ()


class InstrumentAdded(InstrumentBody):
    """A new instrument with the code that is marked on it."""

    code: Name


class InstrumentChange(InstrumentBody):
    """The instrument as it is to be, and the version that was seen."""

    version: Count


class StateChange(Body):
    """Whether it may be used. Anybody at the bench may quarantine it; only a manager releases or withdraws."""

    state: InstrumentState
    reason: Text
    version: Count


class InstrumentAnswer(Answer):
    """An instrument; `standing` is today's state and calibration in one word. `due` null: never calibrated."""

    id: int
    code: str
    kind: InstrumentKind
    description: str
    unit: str
    lower: str | None
    upper: str | None
    resolution: str | None
    repeatability: str | None
    repeatability_readings: int | None
    location: str
    pins: list[Exact]
    state: InstrumentState
    state_reason: str
    standing: CalibrationState
    calibration: str | None
    expanded_uncertainty: Exact | None
    k: Exact | None
    due: date | None
    version: int


class InstrumentListed(Answer):
    """An instrument in the list."""

    id: int
    code: str
    kind: InstrumentKind
    description: str
    unit: str
    location: str
    state: InstrumentState
    standing: CalibrationState
    due: date | None
    version: int


class InstrumentPage(Answer):
    """One page."""

    items: list[InstrumentListed]
    next_after: int | None


@router.get("", operation_id="list_instruments", responses=READS)
def list_instruments(
    after: After = 0, limit: Limit = 50, actor: Actor = AtBench, shop: Shop = TheShop
) -> InstrumentPage:
    """The register of instruments with how each stands today."""
    lines = sorted(instruments(shop.store, shop.today), key=lambda line: line.id)
    items = [InstrumentListed.model_validate(line) for line in lines if line.id > after][:limit]
    return InstrumentPage(items=items, next_after=next_after([item.id for item in items], limit))


@router.post("", status_code=201, operation_id="add_instrument", responses=WRITES)
def add_instrument(body: InstrumentAdded, actor: Actor = Manager, shop: Shop = TheShop) -> InstrumentAnswer:
    """Add an instrument. No reading is taken with it until a calibration is recorded."""
    return _save(shop, actor, body, body.code, None)


@router.get("/{code}", operation_id="read_instrument", responses=READS)
def read_instrument(code: InPath, actor: Actor = AtBench, shop: Shop = TheShop) -> InstrumentAnswer:
    """One instrument with the calibration in force."""
    return _answer(shop, found_instrument(shop, code))


@router.put("/{code}", operation_id="change_instrument", responses=WRITES)
def change_instrument(
    code: InPath, body: InstrumentChange, actor: Actor = Manager, shop: Shop = TheShop
) -> InstrumentAnswer:
    """Correct the instrument that was seen at `version`."""
    return _save(shop, actor, body, code, body.version)


@router.put("/{code}/state", operation_id="change_instrument_state", responses=WRITES)
def change_state(code: InPath, body: StateChange, actor: Actor = AtBench, shop: Shop = TheShop) -> InstrumentAnswer:
    """Put it into quarantine, release it for use, or withdraw it, with a reason."""
    _ACTIONS[body.state](shop, actor, code=code, reason=body.reason, version=body.version)
    return _answer(shop, found_instrument(shop, code))


def found_instrument(shop: Shop, code: str) -> InstrumentHistory:
    """The instrument with its history. Raises NotFound."""
    with shop.store.reading() as session:
        found = instrument_history(session, code)
    if found is None:
        raise NotFound("no-instrument", f"There is no instrument {code}.")
    return found


def _save(shop: Shop, actor: Actor, body: InstrumentBody, code: str, version: int | None) -> InstrumentAnswer:
    saved = save_instrument(
        shop,
        actor,
        code=code,
        kind=body.kind,
        description=body.description,
        unit=body.unit,
        lower=_in_unit(body.lower, body.unit, "lower"),
        upper=_in_unit(body.upper, body.unit, "upper"),
        resolution=_in_unit(body.resolution, body.unit, "resolution"),
        repeatability=_in_unit(body.repeatability, body.unit, "repeatability"),
        repeatability_readings=body.repeatability_readings,
        location=body.location,
        pins=[quantity(pin, None, "mm", "pins") for pin in body.pins],
        version=version,
    )
    return _answer(shop, found_instrument(shop, saved))


def _in_unit(typed: str | None, unit: str, field: str) -> Decimal | None:
    return None if typed is None else quantity(typed, None, unit, field)


def _answer(shop: Shop, found: InstrumentHistory) -> InstrumentAnswer:
    today, row, state = shop.today, found.row, found.known.state
    now = in_force((line.calibration for line in reversed(found.calibrations)), today)
    return InstrumentAnswer(
        **row.model_dump(exclude={"state", "kind"}),
        kind=found.known.kind,
        state=state,
        pins=list(found.pins),
        standing=calibration_state(now.due if now else None, today, state),
        calibration=now.certificate if now else None,
        expanded_uncertainty=now.expanded_uncertainty if now else None,
        k=now.k if now else None,
        due=now.due if now else None,
    )
