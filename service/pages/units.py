"""One injector's status by its serial number, and the search for it. The busiest pages: no ORM, no extra machinery."""

from dataclasses import dataclass
from urllib.parse import quote

from fastapi import Request
from fastapi.responses import Response
from starlette.routing import Route

from service.actions.shop import Actor, NotFound
from service.pages.guards import Guarded, renderer_of, shop_of, signed_in
from service.pages.pressure_drift import drift_told
from service.pages.rendering import FormState, Frame, see_other
from service.pages.seat_history import seats_told
from service.pages.unit_status import unit_status
from service.records.hot_reads import ask
from service.records.unit_reads import LONGEST_LIST, UnitRow, entry_lines, units_beginning_with, units_of_serial
from service.workshop.serial_number import SerialNumberError, serial_number
from service.workshop.vocabulary import Role

_UNKNOWN = "There is no injector with this serial number here. Check it against the marking."
"""The same sentence for another fleet's serial, without the serial: the two answers are equal byte for byte."""


@dataclass(frozen=True)
class TypeChoice:
    """One of several types that carry the same serial number."""

    type_code: str
    type_name: str
    vessel: str
    href: str


@dataclass(frozen=True)
class ChoosePage:
    """Several types carry the serial: which one is meant?"""

    page: Frame
    serial: str
    choices: tuple[TypeChoice, ...]


@dataclass(frozen=True)
class FoundLine:
    """One unit that the search found."""

    serial: str
    type_code: str
    vessel: str
    href: str


@dataclass(frozen=True)
class SearchPage:
    """The search with what it found."""

    page: Frame
    heading: str
    sentence: str
    form: FormState
    caption: str
    found: tuple[FoundLine, ...]


async def show_unit(request: Request, actor: Actor) -> Response:
    """The unit's status. Another fleet's serial answers as an unknown one."""
    shop, renderer = shop_of(request), renderer_of(request)
    try:
        serial = serial_number(request.path_params["serial"])
    except SerialNumberError:
        raise NotFound("no-unit", _UNKNOWN) from None
    units = await ask(shop.store, units_of_serial, shop.store, serial, actor.fleet)
    chosen = request.query_params.get("type") if request.scope["query_string"] else None
    if len(units) > 1 and chosen is None:
        return renderer.page("units/choose.html", _choose_page(renderer.frame(serial, actor), serial, units))
    unit = next(iter(units.values()), None) if chosen is None else units.get(chosen)
    if unit is None:
        raise NotFound("no-unit", _UNKNOWN)
    entries = await ask(shop.store, entry_lines, shop.store, unit.passages[0].overhaul_id) if unit.passages else []
    seats = await ask(shop.store, seats_told, shop.store, unit) if any(one.reworked for one in unit.passages) else ()
    drift = await ask(shop.store, drift_told, shop.store, unit) if len(unit.passages) > 1 else None
    status = unit_status(serial, unit, entries, shop.today, actor.role is not Role.OFFICE, seats, drift)
    return renderer.busy_page("units/_unit.html", status, serial, actor)


async def find_unit(request: Request, actor: Actor) -> Response:
    """Go to the unit with exactly that serial, or list those that begin so."""
    shop, typed = shop_of(request), request.query_params.get("serial", "")[:200]
    try:
        serial = serial_number(typed.rstrip(" ./-"))  # a beginning may end where a serial number may not
    except SerialNumberError as error:
        return _search_page(request, actor, typed, (), error.sentence)
    if await ask(shop.store, units_of_serial, shop.store, serial, actor.fleet):
        return see_other(_address(serial))
    found = await ask(shop.store, units_beginning_with, shop.store, serial, actor.fleet)
    several = {item.serial for item in found if sum(other.serial == item.serial for other in found) > 1}
    lines = tuple(
        FoundLine(
            item.serial,
            item.type_code,
            item.vessel,
            _address(item.serial, item.type_code if item.serial in several else ""),
        )
        for item in found
    )
    return _search_page(request, actor, typed, lines, "")


def _choose_page(frame: Frame, serial: str, units: dict[str, UnitRow]) -> ChoosePage:
    choices = tuple(
        TypeChoice(unit.type_code, unit.type_name, unit.vessel, _address(serial, code))
        for code, unit in sorted(units.items())
    )
    return ChoosePage(frame, serial, choices)


def _search_page(request: Request, actor: Actor, typed: str, found: tuple[FoundLine, ...], error: str) -> Response:
    renderer = renderer_of(request)
    if found:
        heading, sentence = "Serial numbers that begin so", "None is exactly this; these begin with it."
    elif error:
        heading, sentence = "Find an injector", "Enter its serial number, or the first characters of it."
    else:
        heading = "No such serial number"
        sentence = "Nothing here has this serial number or begins with it. Check it against the marking, or type less."
    more = len(found) > LONGEST_LIST
    context = SearchPage(
        page=renderer.frame(heading, actor),
        heading=heading,
        sentence=sentence,
        form=FormState({"serial": typed}, {"serial": error} if error and typed.strip() else {}, "search-"),
        caption=f"The first {LONGEST_LIST}: type more of the serial number" if more else "Found",
        found=found[:LONGEST_LIST],
    )
    status = 200 if found or not typed.strip() else 422 if error else 404
    return renderer.page("units/search.html", context, status)


def _address(serial: str, type_code: str = "") -> str:
    return f"/units/{quote(serial)}{f'?type={quote(type_code)}' if type_code else ''}"


# Plain routes: the parameter machinery of the framework would cost more than the whole page.
ROUTES = (
    Route("/units/{serial:path}", Guarded(signed_in, show_unit).answer, methods=["GET"], name="show_unit"),
    Route("/units", Guarded(signed_in, find_unit).answer, methods=["GET"], name="find_unit"),
)
