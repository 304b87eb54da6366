"""Limits and fits by ISO 286-1, with the keys of `spindlebook calc`."""

from decimal import Decimal
from typing import Annotated, Literal

from fastapi import APIRouter, Query
from pydantic import PlainSerializer

from service.actions.shop import Actor
from service.api.bodies import Answer
from service.api.description import problems
from service.api.exact_json import ExactRoute
from service.api.guards import Caller
from service.metrology.designations import tolerance_class
from service.metrology.limits_and_fits import LimitsOfSize, fit, limits_of_size

router = APIRouter(prefix="/calculations", tags=["calculations"], route_class=ExactRoute)

# At most nine digits: a binary float prints them as they are. These are answers, nothing is stored.
Figure = Annotated[Decimal, PlainSerializer(float, return_type=float)]
Designation = Annotated[str, Query(max_length=60)]


class LimitsAnswer(Answer):
    """Limits of one size: deviations and tolerance in µm, sizes in mm."""

    nominal_mm: Figure
    kind: Literal["hole", "shaft"]
    upper_um: Figure
    lower_um: Figure
    max_mm: Figure
    min_mm: Figure
    tolerance_um: Figure


class FitAnswer(Answer):
    """A hole and a shaft; a negative clearance is an interference. µm."""

    hole: LimitsAnswer
    shaft: LimitsAnswer
    clearance_max_um: Figure
    clearance_min_um: Figure
    kind: Literal["clearance", "transition", "interference"]


@router.get("/limits", operation_id="calculate_limits", responses=problems(401, 422))
def calculate_limits(designation: Designation, actor: Actor = Caller) -> LimitsAnswer:
    """Limits of a tolerance class such as `25 H7`, to 500 mm."""
    return _limits(limits_of_size(tolerance_class(designation)))


@router.get("/fit", operation_id="calculate_fit", responses=problems(401, 422))
def calculate_fit(designation: Designation, actor: Actor = Caller) -> FitAnswer:
    """Clearances of a fit such as `25 H7/g6`, to 500 mm."""
    found = fit(designation)
    return FitAnswer(
        hole=_limits(found.hole),
        shaft=_limits(found.shaft),
        clearance_max_um=_um(found.clearance_max_nm),
        clearance_min_um=_um(found.clearance_min_nm),
        kind=found.kind,
    )


def _limits(found: LimitsOfSize) -> LimitsAnswer:
    return LimitsAnswer(
        nominal_mm=found.nominal_mm,
        kind=found.kind,
        upper_um=_um(found.upper_nm),
        lower_um=_um(found.lower_nm),
        max_mm=found.max_mm,
        min_mm=found.min_mm,
        tolerance_um=_um(found.tolerance_nm),
    )


def _um(nanometres: int) -> Decimal:
    return Decimal(nanometres) / 1000
