"""A verdict on a value, and its probability."""

from typing import Annotated, Literal

from fastapi import APIRouter, Query

from service.actions.shop import Actor
from service.api.bodies import Answer, Exact
from service.api.description import problems
from service.api.guards import AtBench
from service.metrology.conformity import judge, probability_of_conformity, standard_uncertainty
from service.metrology.typed_numbers import parse_decimal

router = APIRouter(prefix="/calculations", tags=["calculations"])
TypedNumber = Annotated[str, Query(max_length=60, description="A number; a decimal comma is read. One unit for all.")]


class ConformityAnswer(Answer):
    """The verdict of ISO 14253-1 with its guard band and clause, and the probability of JCGM 106, 0 to 1."""

    verdict: Literal["conforms", "not-proven", "does-not-conform"]
    probability_of_conformity: float
    guard_band: Exact
    clause: str


@router.get("/conformity", operation_id="calculate_conformity", responses=problems(401, 403, 422))
def calculate_conformity(
    value: TypedNumber,
    expanded_uncertainty: TypedNumber,
    k: TypedNumber = "2",
    lower: TypedNumber | None = None,
    upper: TypedNumber | None = None,
    guard_factor: TypedNumber = "1",
    actor: Actor = AtBench,
) -> ConformityAnswer:
    """Whether a value conforms to one or two limits in spite of its uncertainty."""
    measured, doubt = parse_decimal(value, "value"), parse_decimal(expanded_uncertainty, "expanded_uncertainty")
    lowest = None if lower is None else parse_decimal(lower, "lower")
    highest = None if upper is None else parse_decimal(upper, "upper")
    verdict = judge(measured, lowest, highest, doubt, parse_decimal(guard_factor, "guard_factor"))
    deviation = standard_uncertainty(doubt, parse_decimal(k, "k"))
    return ConformityAnswer.model_validate(
        {
            "verdict": verdict.name,
            "probability_of_conformity": probability_of_conformity(measured, lowest, highest, deviation),
            "guard_band": verdict.guard_band,
            "clause": verdict.clause,
        }
    )
