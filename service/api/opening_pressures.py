"""The opening pressure of one injector over its overhauls, and what to expect next: as its page shows it."""

from typing import Annotated

from fastapi import APIRouter, Path
from pydantic import Field

from service.actions.shop import Actor, NotFound, Shop
from service.api.bodies import Answer, Exact
from service.api.description import READS
from service.api.exact_json import ExactRoute
from service.api.guards import Caller, TheShop
from service.hydraulics.expected_opening import ExpectedOpening, Outlook
from service.records.hot_reads import ask
from service.records.opening_reads import opening_visits, sheet_in_force
from service.records.store import Store
from service.records.unit_reads import UnitRow, units_of_serial
from service.workshop.opening_outlook import ComingDrift, DueBy, coming_drift, expected_at_next
from service.workshop.serial_number import SerialNumberError, serial_number

router = APIRouter(prefix="/opening-pressures", tags=["units"], route_class=ExactRoute)


class OpeningVisitAnswer(Answer):
    """One overhaul, bar: null where it was not measured, `running_hours` null where they were not known."""

    overhaul: str
    running_hours: Annotated[int | None, Field(description="Since the overhaul before.")]
    as_found_bar: Exact | None
    as_left_bar: Exact | None


class DriftAnswer(Answer):
    """The change to expect until the next overhaul is due, bar, with its prediction interval of 95 %."""

    hours: Annotated[int, Field(description="After which the next overhaul is due.")]
    hours_by: Annotated[DueBy, Field(description="The limit sheet in force, or the mean of the injector's own hours.")]
    longest_hours: Annotated[int, Field(description="The longest time in service that the line is known from.")]
    change_bar: float
    lower_bar: float
    upper_bar: float
    bar_per_1000_h: float
    periods: Annotated[int, Field(description="Times in service that the line goes through.")]


class ExpectedAnswer(Answer):
    """What it is likely to open at when the next overhaul is due, held against the band of the sheet in force, bar."""

    as_left_bar: float
    supposed: Annotated[bool, Field(description="Not set yet: taken to be set to the sheet's pressure.")]
    opening_bar: float
    lower_bar: float
    upper_bar: float
    band_lower_bar: Exact
    band_upper_bar: Exact
    outlook: Outlook
    leaves_after_hours: Annotated[float | None, Field(description="Null unless it is expected to leave the band.")]


class UnitDriftAnswer(Answer):
    """One injector, its oldest overhaul first.

    `drift` and `expected` are null where too few times in service are known.
    """

    injector_type: str
    overhauls: list[OpeningVisitAnswer]
    drift: DriftAnswer | None
    expected: ExpectedAnswer | None


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
    sheet = sheet_in_force(store, unit.type_code)
    coming, expected = coming_drift(visits, sheet), expected_at_next(visits, sheet)
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
        drift=None if coming is None else _drift(coming),
        expected=None if expected is None else _expected(expected),
    )


def _drift(coming: ComingDrift) -> DriftAnswer:
    change = coming.change
    return DriftAnswer(
        hours=coming.due.hours,
        hours_by=coming.due.by,
        longest_hours=coming.longest_hours,
        change_bar=change.change_bar,
        lower_bar=change.lower_bar,
        upper_bar=change.upper_bar,
        bar_per_1000_h=change.bar_per_1000_h,
        periods=change.periods,
    )


def _expected(expected: ExpectedOpening) -> ExpectedAnswer:
    return ExpectedAnswer(
        as_left_bar=expected.as_left_bar,
        supposed=expected.supposed,
        opening_bar=expected.bar,
        lower_bar=expected.lower_bar,
        upper_bar=expected.upper_bar,
        band_lower_bar=expected.band.lower_bar,
        band_upper_bar=expected.band.upper_bar,
        outlook=expected.outlook,
        leaves_after_hours=expected.leaves_after_hours,
    )
