"""Which released injectors of an engine go into which cylinder, so that those of one cylinder inject alike."""

from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.matching_sets import EngineSetFound, look_at_engine_set
from service.actions.shop import Actor
from service.hydraulics.set_matching import CylinderSet, EngineSet, MatchedInjector
from service.metrology.typed_numbers import plain
from service.pages.choices import Option
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.rendering import FormState, Frame
from service.pages.row_ids import RowId
from service.records.engine_set_reads import ReleasedInjector
from service.records.register_reads import EngineLine, VesselLine

router = APIRouter(prefix="/fleets")


@dataclass(frozen=True)
class CylinderLine:
    """The injectors for one cylinder with their pressures and areas, and how far apart they are."""

    cylinder: str
    injectors: tuple[str, ...]
    opening: str
    area: str


@dataclass(frozen=True)
class EngineSetPage:
    """The whole page. `sentence` says how good the choice is, or why there is none."""

    page: Frame
    engine: EngineLine
    vessel: VesselLine
    address: str
    form: FormState
    released: tuple[Option, ...]
    matched: bool
    sentence: str
    lines: tuple[CylinderLine, ...]


@router.get("/engines/{engine_id}/set")
def show_engine_set(request: Request, engine_id: RowId, actor: Actor = Manager) -> Response:
    """The choice for those that were ticked; when the page is only opened, for the newest that fill the engine."""
    query = request.query_params
    take = query.getlist("take") if "chosen" in query else None
    found = look_at_engine_set(shop_of(request), actor, engine_id, take)
    renderer = renderer_of(request)
    return renderer.page("fleets/engine_set.html", _page(renderer.frame("Match a set", actor, "/fleets"), found))


def _page(frame: Frame, found: EngineSetFound) -> EngineSetPage:
    return EngineSetPage(
        page=frame,
        engine=found.engine,
        vessel=found.vessel,
        address=f"/fleets/engines/{found.engine.id}/set",
        form=FormState({"take": sorted(found.taken)}),
        released=tuple(_option(one) for one in reversed(found.released)),
        matched=found.found is not None,
        sentence=found.refusal if found.found is None else _sentence(found.found),
        lines=() if found.found is None else tuple(_line(one) for one in found.found.cylinders),
    )


def _option(one: ReleasedInjector) -> Option:
    opening, area = one.shipped.opening_bar, one.shipped.area_mm2
    words = (
        f"cylinder {one.cylinder}, released {one.released_on.day} {one.released_on:%b %Y}",
        "no opening pressure: it cannot be matched" if opening is None else f"{plain(round(opening, 1))} bar",
        "holes not gauged" if area is None else f"{plain(round(area, 3))} mm²",
    )
    return Option(one.serial, one.serial, " · ".join(words))


def _sentence(found: EngineSet) -> str:
    best, arrival = (f"{value:.2f} %" for value in (found.mismatch, found.arrival_mismatch))
    if found.left_over >= 0.995:
        return f"The order of arrival is as good as any: the spreads of the cylinders come to {best} in all."
    return (
        f"The spreads of the cylinders come to {best} in all, and no other choice has less. In the order of arrival "
        f"they would come to {arrival}: {100 * (1 - found.left_over):.0f} % more even."
    )


def _line(one: CylinderSet) -> CylinderLine:
    return CylinderLine(
        cylinder=str(one.cylinder),
        injectors=tuple(_injector(each) for each in one.injectors),
        opening=_apart([each.opening_bar for each in one.injectors], "bar", one.opening_spread_percent, 1),
        area=_apart(
            [each.area_mm2 for each in one.injectors if each.area_mm2 is not None], "mm²", one.area_spread_percent, 3
        ),
    )


def _injector(one: MatchedInjector) -> str:
    area = "holes not gauged" if one.area_mm2 is None else f"{_figure(one.area_mm2, 3)} mm²"
    return f"{one.key}: {_figure(one.opening_bar, 1)} bar, {area}"


def _apart(values: list[float], unit: str, percent: float, places: int) -> str:
    if len(values) < 2:
        return "not known"
    return f"{_figure(max(values) - min(values), places)} {unit}, {percent:.2f} %"


def _figure(value: float, places: int) -> str:
    return plain(round(Decimal(value), places))
