"""An uncertainty budget, combined: the body is the budget file of `spindlebook calc uncertainty`."""

import math
from typing import Annotated, Any, Literal

from fastapi import APIRouter
from pydantic import BeforeValidator, Field

from service.actions.shop import Actor
from service.api.bodies import Answer, Body, Name
from service.api.description import WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench
from service.metrology.budget_file import budget_from_mapping
from service.metrology.uncertainty_budget import BudgetLine

router = APIRouter(prefix="/calculations", tags=["calculations"], route_class=ExactRoute)


def plain_number(value: Any) -> Any:
    """Refuse what JSON knows as something else than a number."""
    if isinstance(value, bool | str):
        raise ValueError("give a number")
    return value


PlainNumber = Annotated[float, BeforeValidator(plain_number), Field(allow_inf_nan=False)]


class ContributionBody(Body):
    """One contribution: its name and exactly one of the five ways in which it is known."""

    name: Name
    standard_uncertainty: PlainNumber | None = None
    expanded_uncertainty: Annotated[PlainNumber | None, Field(description="With its `k`.")] = None
    half_width: Annotated[PlainNumber | None, Field(description="With its `distribution`.")] = None
    resolution: Annotated[PlainNumber | None, Field(description="The step of the display.")] = None
    readings: Annotated[list[PlainNumber] | None, Field(max_length=10_000, description="Repeats.")] = None
    k: PlainNumber | None = None
    distribution: Literal["normal", "rectangular", "triangular", "u-shaped"] | None = None
    estimate: PlainNumber | None = None
    sensitivity: PlainNumber | None = None
    degrees_of_freedom: Annotated[PlainNumber | None, Field(description="Left out or null: infinite.")] = None


class CorrelationBody(Body):
    """Two contributions by name and their correlation coefficient."""

    between: Annotated[list[Name], Field(min_length=2, max_length=2)]
    coefficient: PlainNumber


class BudgetBody(Body):
    """The budget: `shared/schemas/uncertainty-budget.schema.json`."""

    measurand: Name | None = None
    unit: Name | None = None
    coverage_percent: Annotated[PlainNumber | None, Field(description="95.45 unless given: k ends at 2.")] = None
    contributions: Annotated[list[ContributionBody], Field(max_length=200)]
    correlations: Annotated[list[CorrelationBody] | None, Field(max_length=400)] = None


class BudgetLineAnswer(Answer):
    """One contribution with its effect, in the unit of the result, and its share of the variance."""

    name: str
    standard_uncertainty: float
    sensitivity: float
    degrees_of_freedom: float | None
    effect: float
    share: float


class UncertaintyAnswer(Answer):
    """What the budget comes to; degrees of freedom are null where nothing limits them."""

    combined: float
    effective_dof: float | None
    k: float
    expanded: float
    coverage: float
    contributions: list[BudgetLineAnswer]


@router.post("/uncertainty", operation_id="calculate_uncertainty", responses=WRITES)
def calculate_uncertainty(body: BudgetBody, actor: Actor = AtBench) -> UncertaintyAnswer:
    """Combined and expanded uncertainty of a budget by the GUM (JCGM 100); nothing is stored."""
    found = budget_from_mapping(body.model_dump(exclude_none=True)).expanded()
    return UncertaintyAnswer(
        combined=found.combined,
        effective_dof=_or_none(found.effective_dof),
        k=found.k,
        expanded=found.expanded,
        coverage=found.coverage,
        contributions=[_line(line) for line in found.lines],
    )


def _line(line: BudgetLine) -> BudgetLineAnswer:
    one = line.contribution
    return BudgetLineAnswer(
        name=one.name,
        standard_uncertainty=one.standard_uncertainty,
        sensitivity=one.sensitivity,
        degrees_of_freedom=_or_none(one.degrees_of_freedom),
        effect=line.effect,
        share=line.share,
    )


def _or_none(freedom: float) -> float | None:
    return None if math.isinf(freedom) else freedom
