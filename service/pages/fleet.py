"""The home of the ship's office: its injectors in the shop, what waits for its answer, what went back lately."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.asked_work import asked_work
from service.actions.shop import Actor
from service.pages.guards import Office, renderer_of, shop_of
from service.pages.rendering import Frame, day
from service.records.column_types import instant_text
from service.records.fleet_reads import (
    LONGEST_LIST,
    FleetVessel,
    InShop,
    WentBack,
    fleet_in_shop,
    fleet_released,
    fleet_vessels,
)
from service.workshop.vocabulary import Stage

router = APIRouter()

_LATELY = timedelta(days=60)
_LONGEST_STAY = timedelta(days=730)
"""Whatever was received longer ago than this was not released lately; it keeps the search short."""
_MOST_RELEASED = 12
_MOST_ABSENT = 40


@dataclass(frozen=True)
class InShopLine:
    """One injector in the shop."""

    serial: str
    href: str
    type_code: str
    cylinder: str
    overhaul: str
    stage: str
    promised: str
    held: bool
    late: str
    waits: str


@dataclass(frozen=True)
class VesselCard:
    """A vessel with its injectors in the shop."""

    name: str
    imo_number: str
    count: int
    injectors: tuple[InShopLine, ...]


@dataclass(frozen=True)
class ReleasedLine:
    """One injector released lately."""

    serial: str
    href: str
    vessel: str
    released: str
    certificate: str
    certificate_href: str


@dataclass(frozen=True)
class FleetPage:
    """The office's own fleet. `cut` says that the list is not whole; `absent` are vessels with nothing here."""

    page: Frame
    waiting: str
    vessels: tuple[VesselCard, ...]
    cut: str
    absent: tuple[str, ...]
    absent_more: str
    released: tuple[ReleasedLine, ...]


@router.get("/fleet")
def show_fleet(request: Request, actor: Actor = Office) -> Response:
    """The fleet as the shop has it now."""
    shop, operator_id = shop_of(request), actor.operator_id or 0
    now = shop.now()
    vessels = fleet_vessels(shop.store, operator_id)
    open_ones = fleet_in_shop(shop.store, operator_id)
    released = fleet_released(
        shop.store,
        operator_id,
        since=instant_text(now - _LATELY),
        received_since=instant_text(now - _LATELY - _LONGEST_STAY),
        most=_MOST_RELEASED,
    )
    asked = [one.overhaul.number for one in asked_work(shop, actor)]
    absent = tuple(one.name for one in vessels if all(row.vessel_id != one.vessel_id for row in open_ones))
    context = FleetPage(
        page=renderer_of(request).frame("Our injectors", actor, "/fleet"),
        waiting=_waiting(len(asked)),
        vessels=_cards(vessels, open_ones[:LONGEST_LIST], asked, shop.today),
        cut=f"Only the {LONGEST_LIST} promised soonest are shown." if len(open_ones) > LONGEST_LIST else "",
        absent=absent[:_MOST_ABSENT],
        absent_more=f"and {len(absent) - _MOST_ABSENT} more" if len(absent) > _MOST_ABSENT else "",
        released=tuple(_released_line(row) for row in released),
    )
    return renderer_of(request).page("fleet/fleet.html", context)


def _waiting(count: int) -> str:
    if count == 0:
        return ""
    return "One piece of work waits for your answer." if count == 1 else f"{count} pieces of work wait for your answer."


def _cards(vessels: list[FleetVessel], rows: list[InShop], asked: list[str], today: date) -> tuple[VesselCard, ...]:
    of_vessel: dict[int, list[InShopLine]] = {}
    for row in rows:
        of_vessel.setdefault(row.vessel_id, []).append(_line(row, asked.count(row.overhaul), today))
    return tuple(
        VesselCard(one.name, one.imo_number, len(of_vessel[one.vessel_id]), tuple(of_vessel[one.vessel_id]))
        for one in vessels
        if one.vessel_id in of_vessel
    )


def _line(row: InShop, waits: int, today: date) -> InShopLine:
    promised = date.fromisoformat(row.due_on)
    late = (today - promised).days
    return InShopLine(
        serial=row.serial,
        href=_address(row.serial, row.type_code),
        type_code=row.type_code,
        cylinder=f"{row.cylinder} {row.position}".strip(),
        overhaul=row.overhaul,
        stage=Stage(row.stage).value.capitalize(),
        promised=day(datetime.combine(promised, datetime.min.time())),
        held=row.held,
        late=f"{late} day{'' if late == 1 else 's'} late" if late > 0 else "",
        waits=f"{waits} to approve" if waits else "",
    )


def _released_line(row: WentBack) -> ReleasedLine:
    return ReleasedLine(
        serial=row.serial,
        href=_address(row.serial, row.type_code),
        vessel=row.vessel,
        released=day(datetime.fromisoformat(row.closed_at)),
        certificate=row.certificate,
        certificate_href=f"/certificates/{row.certificate}.pdf" if row.certificate else "",
    )


def _address(serial: str, type_code: str) -> str:
    return f"/units/{quote(serial)}?type={quote(type_code)}"
