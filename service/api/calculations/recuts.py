"""The metal left on a seat and how many more recuts it likely bears, with the keys of `spindlebook calc recuts`."""

from typing import Annotated, Literal

from fastapi import APIRouter, Query

from service.actions.shop import Actor
from service.api.bodies import Answer
from service.api.calculations.sizes import Figure
from service.api.description import problems
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench
from service.workshop.recuts import RecutsLikely
from service.workshop.typed_recuts import forecast_of_typed

router = APIRouter(prefix="/calculations", tags=["calculations"], route_class=ExactRoute)
Millimetres = Annotated[str, Query(max_length=60, description="In mm; a decimal comma is read.")]
Depths = Annotated[str, Query(max_length=10_000, description="In mm: 0.04,0.05 or, with decimal commas, 0,04;0,05.")]


class RecutsAnswer(Answer):
    """So many more cuts fit with at least 90, 50 and 10 %: null where too few cuts are given."""

    remaining_mm: Figure
    expanded_uncertainty_mm: Figure
    cuts: int
    careful: int | None
    even: int | None
    hopeful: int | None
    sentence: str


@router.get("/recuts", operation_id="calculate_recuts", responses=problems(401, 403, 422))
def calculate_recuts(
    size: Millimetres,
    limit: Millimetres,
    expanded_uncertainty: Millimetres,
    cuts: Depths,
    side: Literal["upper", "lower"] = "upper",
    actor: Actor = AtBench,
) -> RecutsAnswer:
    """How many more recuts the cuts given let expect: a range, never a promise. Nothing is stored."""
    found = forecast_of_typed(size, limit, side, expanded_uncertainty, cuts)
    likely = found.forecast if isinstance(found.forecast, RecutsLikely) else None
    return RecutsAnswer(
        remaining_mm=found.metal.remaining_mm,
        expanded_uncertainty_mm=found.metal.expanded_uncertainty_mm,
        cuts=found.cuts,
        careful=likely.careful if likely else None,
        even=likely.even if likely else None,
        hopeful=likely.hopeful if likely else None,
        sentence=found.forecast.sentence,
    )
