"""The opening pressure of one injector over its overhauls, and what to expect next: as its page shows it."""

from typing import Annotated

from fastapi import APIRouter, Path
from pydantic import Field

from service.actions.shop import Actor, NotFound, Shop
from service.api.bodies import Answer, Exact
from service.api.description import READS
from service.api.exact_json import ExactRoute
from service.api.guards import Caller, TheShop
from service.records.hot_reads import ask
from service.records.opening_reads import opening_visits
from service.records.store import Store
from service.records.unit_reads import UnitRow, units_of_serial
from service.workshop.opening_history import expected_drift
from service.workshop.serial_number import SerialNumberError, serial_number

router = APIRouter(prefix="/opening-pressures", tags=["units"], route_class=ExactRoute)


class OpeningVisitAnswer(Answer):
    """One overhaul, bar: null where it was not measured, `running_hours` null where they were not known."""

    overhaul: str
    running_hours: Annotated[int | None, Field(description="Since the overhaul before.")]
    as_found_bar: Exact | None
    as_left_bar: Exact | None


class DriftAnswer(Answer):
    """The change to expect over the usual hours, bar, with its prediction interval of 95 %."""

    hours: float
    change_bar: float
    lower_bar: float
    upper_bar: float
    bar_per_1000_h: float
    periods: Annotated[int, Field(description="Times in service that the line goes through.")]


class UnitDriftAnswer(Answer):
    """One injector, its oldest overhaul first; `drift` is null where too few times in service are known."""

    injector_type: str
    overhauls: list[OpeningVisitAnswer]
    drift: DriftAnswer | None


class DriftsOfSerial(Answer):
    """The injectors with one serial: a serial is unique only within its type."""

    serial: str
    items: list[UnitDriftAnswer]


@router.get("/{serial:path}", operation_id="read_opening_pressures", responses=READS)
async def read_opening_pressures(
    serial: Annotated[str, Path(max_length=120)], actor: Actor = Caller, shop: Shop = TheShop
) -> DriftsOfSerial:
    """As-found against as-left opening pressure. Another fleet's serial answers as an unknown one."""
    try:
        spelled = serial_number(serial)
    except SerialNumberError:
        raise NotFound("no-unit", f"There is no injector {serial}.") from None
    found = await ask(shop.store, units_of_serial, shop.store, spelled, actor.fleet)
    if not found:
        raise NotFound("no-unit", f"There is no injector {serial}.")
    items = [await ask(shop.store, _unit, shop.store, unit) for unit in found.values()]
    return DriftsOfSerial(serial=spelled, items=items)


def _unit(store: Store, unit: UnitRow) -> UnitDriftAnswer:
    numbers = {passage.overhaul_id: passage.number for passage in unit.passages}
    visits = opening_visits(store, unit.passages) if unit.passages else ()
    drift = expected_drift(visits)
    return UnitDriftAnswer(
        injector_type=unit.type_code,
        overhauls=[
            OpeningVisitAnswer(
                overhaul=numbers[visit.overhaul_id],
                running_hours=visit.hours,
                as_found_bar=visit.as_found_bar,
                as_left_bar=visit.as_left_bar,
            )
            for visit in visits
        ],
        drift=None if drift is None else DriftAnswer.model_validate(drift),
    )
