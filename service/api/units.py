"""Units: one injector for life, found by its serial number."""

from datetime import date, datetime
from typing import Annotated

from fastapi import APIRouter, Path, Query

from service.actions.shop import Actor, NotFound, Shop
from service.api.bodies import After, Answer, Limit, next_after
from service.api.description import READS
from service.api.exact_json import ExactRoute
from service.api.guards import Caller, TheShop
from service.records.api_reads import overhauls_of_units, units
from service.workshop.serial_number import SerialNumberError, serial_number
from service.workshop.vocabulary import Stage

router = APIRouter(prefix="/units", tags=["units"], route_class=ExactRoute)


class UnitOverhaul(Answer):
    """One passage through the shop."""

    number: str
    consignment: str
    vessel: str
    imo_number: str
    stage: Stage
    held: bool
    opened_at: datetime
    due_on: date
    closed_at: datetime | None


class UnitLineAnswer(Answer):
    """One injector; `vessel` is the one it last came from."""

    serial: str
    injector_type: str
    vessel: str
    imo_number: str
    condemned: bool


class UnitAnswer(UnitLineAnswer):
    """One injector with its overhauls, newest first."""

    overhauls: list[UnitOverhaul]


class UnitsOfSerial(Answer):
    """The injectors with one serial: a serial is unique only within its type."""

    serial: str
    items: list[UnitAnswer]


class UnitPage(Answer):
    """One page."""

    items: list[UnitLineAnswer]
    next_after: int | None


@router.get("", operation_id="list_units", responses=READS)
def list_units(
    prefix: Annotated[str, Query(max_length=40, description="How the serial starts.")] = "",
    after: After = 0,
    limit: Limit = 50,
    actor: Actor = Caller,
    shop: Shop = TheShop,
) -> UnitPage:
    """Units whose serial starts so; an office sees its own fleet's."""
    wanted = " ".join(prefix.upper().replace("\x00", "").split())
    with shop.store.reading() as session:
        found = units(session, actor.fleet, prefix=wanted, after=after, limit=limit)
    items = [UnitLineAnswer.model_validate(line) for line in found]
    return UnitPage(items=items, next_after=next_after([line.id for line in found], limit))


@router.get("/{serial:path}", operation_id="read_unit", responses=READS)
def read_unit(
    serial: Annotated[str, Path(max_length=120)], actor: Actor = Caller, shop: Shop = TheShop
) -> UnitsOfSerial:
    """Where the injector is and where it has been. Another fleet's serial answers as an unknown one."""
    try:
        spelled = serial_number(serial)
    except SerialNumberError:
        raise _unknown(serial) from None
    with shop.store.reading() as session:
        found = units(session, actor.fleet, serial=spelled)
        passages = overhauls_of_units(session, actor.fleet, [line.id for line in found])
    if not found:
        raise _unknown(serial)
    items = [
        UnitAnswer(
            serial=line.serial,
            injector_type=line.injector_type,
            vessel=line.vessel,
            imo_number=line.imo_number,
            condemned=line.condemned,
            overhauls=[UnitOverhaul.model_validate(passage) for passage in passages[line.id]],
        )
        for line in found
    ]
    return UnitsOfSerial(serial=spelled, items=items)


def _unknown(serial: str) -> NotFound:
    return NotFound("no-unit", f"There is no injector {serial}.")
