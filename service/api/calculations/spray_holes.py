"""The spray holes of one nozzle from the pins tried in them, with the keys of `spindlebook calc spray-holes`."""

from typing import Annotated, Literal

from fastapi import APIRouter
from pydantic import Field

from service.actions.shop import Actor
from service.api.bodies import Answer, Body, Count, Name, Number, Yes, quantity
from service.api.calculations.sizes import Figure
from service.api.description import WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench
from service.metrology.gauging import PinPass
from service.metrology.typed_numbers import parse_decimal

router = APIRouter(prefix="/calculations", tags=["calculations"], route_class=ExactRoute)


class PinPassBody(Body):
    """One pin tried in one hole; the pin in mm."""

    hole: Count
    pin: Number
    enters: Yes


class SprayHolesBody(Body):
    """The passes in any order, and the uncertainty of a pin in mm; the nominal size or the class of the holes."""

    passes: Annotated[list[PinPassBody], Field(max_length=2000)]
    expanded_uncertainty: Number = "0"
    k: Number = "2"
    nominal: Number | None = None
    designation: Annotated[Name | None, Field(description="Such as 0.85 H9: it judges each hole.")] = None


class BoundsAnswer(Answer):
    """A value with U (k = 2), and the least and the most that the brackets leave possible."""

    value: Figure
    expanded_uncertainty: Figure
    least: Figure
    most: Figure


class GaugedHoleAnswer(Answer):
    """One hole: the bracket, the bracket widened by the pins' U, its middle with U; null is open or not judged."""

    hole: int
    largest_entering_mm: Figure | None
    smallest_refused_mm: Figure | None
    lower_mm: Figure | None
    upper_mm: Figure | None
    middle_mm: Figure | None
    expanded_uncertainty_mm: Figure | None
    verdict: Literal["conforms", "not-proven", "does-not-conform"] | None


class SprayHolesAnswer(Answer):
    """The holes and what they make together; null where a hole is open to one side or nominal is not known."""

    holes: list[GaugedHoleAnswer]
    open_holes: list[int]
    spread_mm: BoundsAnswer | None
    flow_area_mm2: BoundsAnswer | None
    nominal_area_mm2: Figure | None
    percent_of_nominal: BoundsAnswer | None
    k: Figure


@router.post("/spray-holes", operation_id="calculate_spray_holes", responses=WRITES)
def calculate_spray_holes(body: SprayHolesBody, actor: Actor = AtBench) -> SprayHolesAnswer:
    """Brackets, hole-to-hole spread and flow area of a nozzle, and each hole's verdict; nothing is stored."""
    # NumPy loads with the rules of the examination: the server starts without it.
    from service.documents.nozzle_answer import nozzle_answer
    from service.workshop.typed_spray_holes import TypedPass, gauged_of_typed

    passes = [TypedPass(one.hole, PinPass(quantity(one.pin, None, "mm", "passes"), one.enters)) for one in body.passes]
    gauged = gauged_of_typed(
        passes,
        quantity(body.expanded_uncertainty, None, "mm", "expanded_uncertainty"),
        parse_decimal(body.k, "k"),
        None if body.nominal is None else quantity(body.nominal, None, "mm", "nominal"),
        body.designation,
    )
    return SprayHolesAnswer.model_validate(nozzle_answer(gauged))
