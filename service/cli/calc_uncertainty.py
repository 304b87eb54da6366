"""`spindlebook calc uncertainty BUDGET.json`: a budget combined by the GUM."""

import json
import math
from pathlib import Path
from typing import Annotated

import typer
from rich.console import Console
from rich.table import Table

from service.cli.answers import AsJson, to_json
from service.metrology.budget_file import Budget, budget_from_mapping
from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import plain
from service.metrology.uncertainty_budget import ExpandedUncertainty

_LARGEST_FILE = 5_000_000


def uncertainty(
    budget: Annotated[Path, typer.Argument(metavar="BUDGET.json", help="The budget as a JSON file, see above.")],
    as_json: AsJson = False,
) -> None:
    """Combined and expanded uncertainty of a budget: JCGM 100 (the GUM), Welch-Satterthwaite, k from t.

    BUDGET.json is one object. `contributions` is a list of objects, each with a `name` and exactly one of
    `standard_uncertainty`; `expanded_uncertainty` with its `k`; `half_width` with its `distribution`
    (rectangular, triangular or u-shaped); `resolution` (the step of the display); `readings` (a list of repeats).
    Optional in each: `estimate` (0), `sensitivity` (1), `degrees_of_freedom` (left out or null: infinite).
    Optional beside the list: `measurand`, `unit`, `coverage_percent` (95.45, which ends at k = 2) and
    `correlations`, a list of objects with `between` (two names) and `coefficient` (-1 to 1).
    The whole format: shared/schemas/uncertainty-budget.schema.json.

    Example: {"unit": "mm", "contributions": [
    {"name": "Calibration", "expanded_uncertainty": 0.002, "k": 2},
    {"name": "Resolution", "resolution": 0.001},
    {"name": "Repeatability", "readings": [25.011, 25.013, 25.012]}]}

    With --json: combined, effective_dof (null: infinite), k, expanded, then coverage and the lines.
    """
    read = budget_from_mapping(_decoded(budget))
    found = read.expanded()
    if as_json:
        typer.echo(to_json(_answer(found)))
        return
    _print(read, found)


def _decoded(path: Path) -> object:
    try:
        if path.stat().st_size > _LARGEST_FILE:
            raise MetrologyError("budget-too-large", f"{path.name} is larger than 5 MB: no budget is.", "budget")
        return json.loads(path.read_text(encoding="utf-8"))
    except OSError as missing:
        raise MetrologyError(
            "budget-unreadable", f"The file {path} cannot be read: check its name.", "budget"
        ) from missing
    except (ValueError, RecursionError) as broken:
        if isinstance(broken, MetrologyError):
            raise
        raise MetrologyError("budget-unreadable", f"{path.name} is not JSON in UTF-8.", "budget") from broken


def _answer(found: ExpandedUncertainty) -> dict[str, object]:
    return {
        "combined": found.combined,
        "effective_dof": _or_none(found.effective_dof),
        "k": found.k,
        "expanded": found.expanded,
        "coverage": found.coverage,
        "contributions": [
            {
                "name": line.contribution.name,
                "standard_uncertainty": line.contribution.standard_uncertainty,
                "sensitivity": line.contribution.sensitivity,
                "degrees_of_freedom": _or_none(line.contribution.degrees_of_freedom),
                "effect": line.effect,
                "share": line.share,
            }
            for line in found.lines
        ],
    }


def _print(read: Budget, found: ExpandedUncertainty) -> None:
    unit = f" {read.unit}" if read.unit else ""
    table = Table(
        "contribution", "distribution", "u", "sensitivity", f"effect{unit}", "degrees of freedom", "share",
        title=read.measurand or None,
    )  # fmt: skip
    for line in found.lines:
        one = line.contribution
        table.add_row(
            one.name,
            one.distribution.value,
            f"{one.standard_uncertainty:.4g}",
            f"{one.sensitivity:.4g}",
            f"{line.effect:.4g}",
            _freedom(one.degrees_of_freedom),
            f"{line.share:.1%}",
        )
    Console().print(table)
    typer.echo(
        f"combined {found.combined:.4g}{unit}, effective degrees of freedom {_freedom(found.effective_dof)}, "
        f"k = {found.k:.3f} at {found.coverage:.2%}, expanded U = {plain(found.reported)}{unit}"
    )


def _or_none(freedom: float) -> float | None:
    return None if math.isinf(freedom) else freedom


def _freedom(freedom: float) -> str:
    return "infinite" if math.isinf(freedom) else f"{freedom:.4g}"
