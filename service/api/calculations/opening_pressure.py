"""Opening pressure from its spring, and the discs that set it, with the keys of `spindlebook calc`."""

from decimal import Decimal
from typing import Annotated

from fastapi import APIRouter, Query

from service.actions.shop import Actor
from service.api.bodies import Answer
from service.api.calculations.sizes import Figure
from service.api.description import problems
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench
from service.hydraulics.disc_advice import AdviceKind, advise
from service.hydraulics.disc_search import PressureBand, disc_task, fewest_discs
from service.hydraulics.disc_stock import parse_discs, parse_stock
from service.hydraulics.errors import HydraulicsError
from service.hydraulics.opening_geometry import needle_geometry, opening_from_spring, twelve_digits
from service.metrology.units import parse_quantity

router = APIRouter(prefix="/calculations", tags=["calculations"], route_class=ExactRoute)
Typed = Annotated[str, Query(max_length=60, description="A decimal comma is read; a unit may be typed with it.")]
Discs = Annotated[str, Query(max_length=400, description="Thicknesses in mm: 0.05,0.10; counted pieces as 0.10x2.")]


class OpeningPressureAnswer(Answer):
    """Opening and closing pressure in bar, and what one millimetre of disc changes."""

    opening_bar: Figure
    closing_bar: Figure
    bar_per_mm: Figure


class DiscSetAnswer(Answer):
    """One set: thicknesses to put in and to take out in mm, and the pressure that is expected then."""

    discs_mm: list[Figure]
    removed_mm: list[Figure]
    expected_bar: Figure


class DiscsAnswer(Answer):
    """Every set with the fewest discs, none where no set can; `advice` says then what else, `sentence` in words."""

    solutions: list[DiscSetAnswer]
    advice: AdviceKind
    sentence: str


@router.get("/opening-pressure", operation_id="calculate_opening_pressure", responses=problems(401, 403, 422))
def calculate_opening_pressure(
    rate: Typed, guide: Typed, seat: Typed, preload: Typed, actor: Actor = AtBench
) -> OpeningPressureAnswer:
    """Opening and closing pressure of a spring of that rate (N/mm) and preload over guide and seat (mm)."""
    mm = [parse_quantity(value, "mm", name) for name, value in (("guide", guide), ("seat", seat), ("preload", preload))]
    geometry = needle_geometry(parse_quantity(rate, "N/mm", "rate"), mm[0], mm[1])
    found = opening_from_spring(geometry, mm[2])
    return OpeningPressureAnswer(
        opening_bar=twelve_digits(found.opening_bar),
        closing_bar=twelve_digits(found.closing_bar),
        bar_per_mm=twelve_digits(found.bar_per_mm),
    )


@router.get("/discs", operation_id="calculate_discs", responses=problems(401, 403, 422))
def calculate_discs(
    now: Typed,
    target: Typed,
    tolerance: Typed,
    bar_per_mm: Typed,
    stock: Discs,
    max_discs: Annotated[int, Query(alias="max", ge=0, le=20)] = 5,
    fitted: Discs = "",
    actor: Actor = AtBench,
) -> DiscsAnswer:
    """The fewest discs that bring the opening pressure (bar) into its band; `fitted` ones may come out."""
    aim, off = parse_quantity(target, "bar", "target"), parse_quantity(tolerance, "bar", "tolerance")
    if off < 0:
        raise HydraulicsError(
            "tolerance-negative", "The tolerance is below zero: give how far off it may be.", "tolerance"
        )
    task = disc_task(
        parse_quantity(now, "bar", "now"),
        PressureBand(aim - off, aim, aim + off),
        parse_quantity(bar_per_mm, "bar", "bar_per_mm"),
        parse_stock(stock),
        parse_discs(fitted, "fitted"),
        max_discs,
    )
    found = fewest_discs(task)
    advice = advise(task, found)
    sets = [
        DiscSetAnswer(
            discs_mm=_mm(one.added_um), removed_mm=_mm(one.removed_um), expected_bar=twelve_digits(one.expected_bar)
        )
        for one in found
    ]
    return DiscsAnswer(solutions=sets, advice=advice.kind, sentence=advice.sentence)


def _mm(discs_um: tuple[int, ...]) -> list[Decimal]:
    return [Decimal(um) / 1000 for um in discs_um]
