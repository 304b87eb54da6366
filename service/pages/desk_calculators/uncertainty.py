"""An uncertainty budget: rows of contributions, what they come to, and the share of each."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import Response
from markupsafe import Markup

from service.actions.shop import Actor
from service.metrology.budget_file import Budget
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import plain
from service.metrology.uncertainty_budget import BudgetLine, ExpandedUncertainty
from service.pages.choices import Option
from service.pages.desk_calculators.asking import frame_of, status_of_answer
from service.pages.desk_calculators.budget_form import (
    FEWEST_ROWS,
    MOST_ROWS,
    USUAL,
    WAYS,
    budget_of,
    filled_rows,
    on_the_form,
    rows_of,
)  # fmt: skip
from service.pages.desk_calculators.conformity import UNITS, Fact
from service.pages.desk_calculators.share_bars import share_bars
from service.pages.guards import AtBench
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed, TypedForm, errors_of

router = APIRouter()


@dataclass(frozen=True)
class ShareRow:
    """One contribution in the result."""

    name: str
    distribution: str
    standard_uncertainty: str
    sensitivity: str
    effect: str
    degrees_of_freedom: str
    share: str


@dataclass(frozen=True)
class BudgetAnswer:
    """What the budget comes to."""

    heading: str
    facts: tuple[Fact, ...]
    rows: tuple[ShareRow, ...]
    unit: str
    drawing: Markup


@dataclass(frozen=True)
class UncertaintyPage:
    """The rows as they were typed and what they come to."""

    page: Frame
    form: FormState
    numbers: tuple[int, ...]
    more: bool
    ways: tuple[Option, ...]
    units: tuple[Option, ...]
    found: BudgetAnswer | None


@router.get("/calculators/uncertainty")
def show_uncertainty(request: Request, actor: Actor = AtBench) -> Response:
    """An empty budget."""
    return _answered(request, actor, FormState(USUAL), FEWEST_ROWS)


@router.post("/calculators/uncertainty")
def work_out_uncertainty(request: Request, typed: Typed = TypedForm, actor: Actor = AtBench) -> Response:
    """Combine the budget by the GUM, or add a row to it; nothing is stored."""
    rows = rows_of(typed)
    if typed.text("do") == "add-row":
        return _answered(request, actor, typed.shown(), min(rows + 1, MOST_ROWS))
    found, error = None, None
    try:
        budget = budget_of(typed)
        try:
            found = _found(budget, budget.expanded())
        except DomainError as refusal:
            raise on_the_form(refusal, filled_rows(typed)) from refusal
    except DomainError as refusal:
        error = refusal
    return _answered(request, actor, typed.shown(error), rows, found, error)


def _answered(
    request: Request, actor: Actor, form: FormState, rows: int, found: BudgetAnswer | None = None,
    error: DomainError | None = None,
) -> Response:  # fmt: skip
    form = replace(form, values={**USUAL, **form.values, "rows": str(rows)}, errors=errors_of(error))
    page = UncertaintyPage(
        page=frame_of(request, "Uncertainty budget", actor),
        form=form,
        numbers=tuple(range(1, rows + 1)),
        more=rows < MOST_ROWS,
        ways=WAYS,
        units=UNITS,
        found=found,
    )
    return whole_or_part(request, "desk_calculators/uncertainty", page, status_of_answer(error))


def _found(budget: Budget, result: ExpandedUncertainty) -> BudgetAnswer:
    unit = budget.unit
    facts = (
        Fact("Combined standard uncertainty", f"{_digits(result.combined)} {unit}"),
        Fact("Effective degrees of freedom", _freedom(result.effective_dof)),
        Fact("Coverage factor k", f"{result.k:.3f}"),
        Fact("Coverage", f"{100 * result.coverage:.4g} %"),
    )
    heading = f"U = {plain(result.reported)} {unit}, k = {result.k:.2f}"
    of = f"{budget.measurand}: " if budget.measurand else ""
    rows = tuple(_row(line) for line in result.lines)
    return BudgetAnswer(f"{of}{heading}", facts, rows, unit, share_bars(_shares(result.lines)))


def _row(line: BudgetLine) -> ShareRow:
    one = line.contribution
    return ShareRow(
        one.name,
        one.distribution.value.capitalize(),
        _digits(one.standard_uncertainty),
        _digits(one.sensitivity),
        _digits(line.effect),
        _freedom(one.degrees_of_freedom),
        f"{100 * line.share:.1f} %",
    )


def _shares(lines: Iterable[BudgetLine]) -> list[tuple[str, float]]:
    return [(line.contribution.name, line.share) for line in lines]


def _digits(number: float) -> str:
    return f"{number:.4g}"


def _freedom(freedom: float) -> str:
    return "infinite" if math.isinf(freedom) else _digits(freedom)
