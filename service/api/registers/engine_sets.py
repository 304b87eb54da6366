"""Which released injectors of an engine go into one cylinder together."""

from typing import Annotated

from fastapi import APIRouter, Query

from service.actions.matching_sets import look_at_engine_set
from service.actions.shop import Actor, Shop
from service.api.bodies import Answer, IdInPath
from service.api.description import READS
from service.api.exact_json import ExactRoute
from service.api.guards import Manager, TheShop

router = APIRouter(prefix="/engines", tags=["registers"], route_class=ExactRoute)


class MatchedAnswer(Answer):
    """One injector with its opening pressure and hole flow area; null where the holes were not gauged."""

    serial: str
    opening_bar: float
    area_mm2: float | None


class CylinderSetAnswer(Answer):
    """The injectors for one cylinder and their spreads, per cent of the mean of all."""

    cylinder: int
    injectors: list[MatchedAnswer]
    opening_spread_percent: float
    area_spread_percent: float


class EngineSetAnswer(Answer):
    """The choice with the least mismatch, per cent in all, and that of the order of arrival; else why there is none."""

    cylinders: list[CylinderSetAnswer]
    mismatch: float | None
    arrival_mismatch: float | None
    sentence: str


@router.get("/{engine_id}/set", operation_id="match_engine_set", responses=READS)
def match_engine_set(
    engine_id: IdInPath,
    take: Annotated[
        list[str] | None, Query(max_length=60, description="Serials; none: the newest that fill it.")
    ] = None,
    actor: Actor = Manager,
    shop: Shop = TheShop,
) -> EngineSetAnswer:
    """Match released injectors into as many cylinders as they fill; nothing is recorded."""
    done = look_at_engine_set(shop, actor, engine_id, take)
    if done.found is None:
        return EngineSetAnswer(cylinders=[], mismatch=None, arrival_mismatch=None, sentence=done.refusal)
    cylinders = [
        CylinderSetAnswer(
            cylinder=one.cylinder,
            injectors=[
                MatchedAnswer(serial=each.key, opening_bar=each.opening_bar, area_mm2=each.area_mm2)
                for each in one.injectors
            ],
            opening_spread_percent=one.opening_spread_percent,
            area_spread_percent=one.area_spread_percent,
        )
        for one in done.found.cylinders
    ]
    return EngineSetAnswer(
        cylinders=cylinders,
        mismatch=done.found.mismatch,
        arrival_mismatch=done.found.arrival_mismatch,
        sentence="",
    )
