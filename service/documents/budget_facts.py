"""The budget that a value was judged with: U and k in print, the whole of it in the attached facts."""

from typing import Any

from service.metrology.kept_budget import UncertaintyBudget, UncertaintyLine
from service.metrology.typed_numbers import plain


def budget_text(budget: UncertaintyBudget) -> str:
    """`U = 0.0021 mm, k = 2.05`."""
    return f"U = {budget.u_text}, k = {budget.k_text}"


def budget_facts(budget: UncertaintyBudget | None) -> dict[str, Any] | None:
    """Every figure as it was kept, as exact text; None where nothing was judged with a budget.

    `degrees_of_freedom` and `effective_degrees_of_freedom` null are infinite.
    """
    if budget is None:
        return None
    freedom = budget.effective_dof
    return {
        "unit": budget.unit,
        "expanded": plain(budget.expanded),
        "k": plain(budget.k),
        "coverage_percent": plain(budget.coverage_percent),
        "combined": plain(budget.combined),
        "effective_degrees_of_freedom": None if freedom is None else plain(freedom),
        "raised_to_calibration": budget.by_calibration,
        "unknown": list(budget.unknown),
        "contributions": [_line(line) for line in budget.lines],
    }


def _line(line: UncertaintyLine) -> dict[str, Any]:
    freedom = line.degrees_of_freedom
    return {
        "name": line.name,
        "source": line.source,
        "type": line.evaluation.value,
        "distribution": line.distribution.value,
        "stated": plain(line.stated),
        "stated_unit": line.stated_unit,
        "divisor": plain(line.divisor),
        "standard_uncertainty": plain(line.standard_uncertainty),
        "sensitivity": plain(line.sensitivity),
        "effect": plain(line.effect),
        "degrees_of_freedom": None if freedom is None else plain(freedom),
        "share_percent": plain(line.share_percent),
    }
