"""Units: one injector for life, found by its serial number. The reads are those of the unit's page."""

from typing import Annotated

from fastapi import APIRouter, Path, Query
from pydantic import Field

from service.actions.shop import Actor, NotFound, Shop
from service.api.bodies import Answer
from service.api.description import READS
from service.api.exact_json import ExactRoute
from service.api.guards import Caller, TheShop
from service.records.hot_reads import ask
from service.records.unit_reads import LONGEST_LIST, units_beginning_with, units_of_serial
from service.workshop.serial_number import SerialNumberError, serial_number
from service.workshop.vocabulary import Stage

router = APIRouter(prefix="/units", tags=["units"], route_class=ExactRoute)


class UnitOverhaul(Answer):
    """One passage through the shop; `closed_at` and `certificate` are empty without one."""

    number: str
    consignment: str
    vessel: str
    imo_number: str
    cylinder: str
    running_hours: int | None
    stage: Stage
    held: bool
    received_at: str
    due_on: str
    closed_at: str
    certificate: str


class UnitAnswer(Answer):
    """One injector with its overhauls, newest first; `vessel` is the one it last came from."""

    injector_type: Annotated[str, Field(validation_alias="type_code")]
    injector_type_name: Annotated[str, Field(validation_alias="type_name")]
    vessel: str
    imo_number: str
    overhauls: Annotated[list[UnitOverhaul], Field(validation_alias="passages")]


class UnitsOfSerial(Answer):
    """The injectors with one serial: a serial is unique only within its type."""

    serial: str
    items: list[UnitAnswer]


class FoundUnitAnswer(Answer):
    """One unit that a search found."""

    serial: str
    injector_type: Annotated[str, Field(validation_alias="type_code")]
    vessel: str


class FoundUnits(Answer):
    """The first units in the order of their serials; `more`: there are others, give more of the serial."""

    items: list[FoundUnitAnswer]
    more: bool


@router.get("", operation_id="find_units", responses=READS)
async def find_units(
    prefix: Annotated[str, Query(max_length=40, description="How the serial starts.")] = "",
    actor: Actor = Caller,
    shop: Shop = TheShop,
) -> FoundUnits:
    """Units whose serial starts so; an office sees its own fleet's."""
    wanted = " ".join(prefix.upper().replace("\x00", "").split())
    found = await ask(shop.store, units_beginning_with, shop.store, wanted, actor.fleet)
    items = [FoundUnitAnswer.model_validate(unit) for unit in found[:LONGEST_LIST]]
    return FoundUnits(items=items, more=len(found) > LONGEST_LIST)


@router.get("/{serial:path}", operation_id="read_unit", responses=READS)
async def read_unit(
    serial: Annotated[str, Path(max_length=120)], actor: Actor = Caller, shop: Shop = TheShop
) -> UnitsOfSerial:
    """Where the injector is and where it has been. Another fleet's serial answers as an unknown one."""
    try:
        spelled = serial_number(serial)
    except SerialNumberError:
        raise _unknown(serial) from None
    found = await ask(shop.store, units_of_serial, shop.store, spelled, actor.fleet)
    if not found:
        raise _unknown(serial)
    return UnitsOfSerial(serial=spelled, items=[UnitAnswer.model_validate(unit) for unit in found.values()])


def _unknown(serial: str) -> NotFound:
    return NotFound("no-unit", f"There is no injector {serial}.")
