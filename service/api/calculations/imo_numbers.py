"""The check digit of a ship's number."""

from typing import Annotated

from fastapi import APIRouter, Query

from service.actions.shop import Actor
from service.api.bodies import Answer
from service.api.description import problems
from service.api.guards import AtBench
from service.workshop.imo_number import expected_check_digit, seven_digits

router = APIRouter(prefix="/calculations", tags=["calculations"])


class ImoAnswer(Answer):
    """Whether the last digit is the check digit of the six before it, and which would be."""

    valid: bool
    expected_check_digit: int


@router.get("/imo", operation_id="calculate_imo", responses=problems(401, 403, 422))
def calculate_imo(imo_number: Annotated[str, Query(max_length=40)], actor: Actor = AtBench) -> ImoAnswer:
    """Check the digits of an IMO ship number: IMO Resolution A.1117(30)."""
    digits = seven_digits(imo_number)
    expected = expected_check_digit(digits[:6])
    return ImoAnswer(valid=int(digits[6]) == expected, expected_check_digit=expected)
