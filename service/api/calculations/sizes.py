"""Limits, fits and gauge pins by ISO 286-1, with the keys of `spindlebook calc`."""

from decimal import Decimal
from typing import Annotated, Literal

from fastapi import APIRouter, Query
from pydantic import PlainSerializer

from service.actions.shop import Actor
from service.api.bodies import Answer
from service.api.description import problems
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, Caller
from service.metrology.designations import tolerance_class
from service.metrology.errors import MetrologyError
from service.metrology.gauge_pins import pin_sizes, propose_pins
from service.metrology.limits_and_fits import LimitsOfSize, fit, limits_of_size
from service.metrology.units import parse_quantity

router = APIRouter(prefix="/calculations", tags=["calculations"], route_class=ExactRoute)

# At most nine digits: a binary float prints them as they are. These are answers, nothing is stored.
Figure = Annotated[Decimal, PlainSerializer(float, return_type=float)]
Designation = Annotated[str, Query(max_length=60)]
Designations = Annotated[
    list[str], Query(min_length=1, max_length=100, description="Such as 25 H7; several give a list in their order.")
]
Micrometres = Annotated[str, Query(max_length=60, description="In µm; a unit may be typed with it: 0.002 mm.")]
_FIELDS = {"wear_allowance": "wear_um", "increment": "increment_um", "uncertainty": "uncertainty_um"}


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


class PinsAnswer(Answer):
    """Go and no-go sizes in mm: at the limits, the go pin new with its wear allowance, and the sizes to buy."""

    go_mm: Figure
    no_go_mm: Figure
    go_new_mm: Figure
    go_to_buy_mm: Figure | None = None
    no_go_to_buy_mm: Figure | None = None
    between_mm: tuple[Figure, ...] = ()


@router.get("/limits", operation_id="calculate_limits", responses=problems(401, 422))
def calculate_limits(designation: Designations, actor: Actor = Caller) -> LimitsAnswer | list[LimitsAnswer]:
    """Limits of a tolerance class such as `25 H7`, to 500 mm; of several, a list in their order."""
    found = [_limits(limits_of_size(tolerance_class(one))) for one in designation]
    return found[0] if len(found) == 1 else found


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


@router.get("/pins", operation_id="calculate_pins", responses=problems(401, 403, 422))
def calculate_pins(
    designation: Designation,
    wear_um: Micrometres = "0",
    uncertainty_um: Micrometres = "0",
    increment_um: Micrometres | None = None,
    actor: Actor = AtBench,
) -> PinsAnswer:
    """Gauge pins of a class of holes such as `0.85 H9`; with `increment_um` also the sizes to buy."""
    try:
        sizes = pin_sizes(limits_of_size(tolerance_class(designation)), _mm(wear_um, "wear_um"))
        doubt = _mm(uncertainty_um, "uncertainty_um")
        to_buy = None if increment_um is None else propose_pins(sizes, _mm(increment_um, "increment_um"), doubt)
    except MetrologyError as refusal:
        field = _FIELDS.get(refusal.field or "", refusal.field)
        raise MetrologyError(refusal.code, refusal.sentence, field) from refusal
    return PinsAnswer(
        go_mm=sizes.go_mm,
        no_go_mm=sizes.no_go_mm,
        go_new_mm=sizes.go_new_mm,
        go_to_buy_mm=None if to_buy is None else to_buy.go_to_buy_mm,
        no_go_to_buy_mm=None if to_buy is None else to_buy.no_go_to_buy_mm,
        between_mm=() if to_buy is None else to_buy.between_mm,
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


def _mm(typed: str, field: str) -> Decimal:
    return parse_quantity(typed, "µm", field) / 1000
