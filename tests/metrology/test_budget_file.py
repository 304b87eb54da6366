"""A budget as a JSON object: what schema and code both take, and what both refuse, by its path."""

import json
from copy import deepcopy
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from service.metrology.budget_file import budget_from_mapping, budget_to_mapping
from service.metrology.contributions import INFINITE
from service.metrology.errors import MetrologyError
from service.paths import SHARED

SCHEMA = json.loads((SHARED / "schemas" / "uncertainty-budget.schema.json").read_text(encoding="utf-8"))
WHOLE: dict[str, Any] = {
    "measurand": "Seat diameter",
    "unit": "mm",
    "coverage_percent": 95,
    "contributions": [
        {"name": "Calibration", "expanded_uncertainty": "0,002", "k": 2, "degrees_of_freedom": 50, "estimate": 0.001},
        {"name": "Resolution", "resolution": 0.001},
        {"name": "Scatter", "readings": [25.011, 25.013, 25.012]},
        {"name": "Room", "half_width": 1, "distribution": "u-shaped", "sensitivity": 0.0002},
        {"name": "Part", "standard_uncertainty": 0.0003, "degrees_of_freedom": None},
    ],
    "correlations": [{"between": ["Room", "Part"], "coefficient": 0.5}],
}


def _changed(*path: str | int, to: object) -> dict[str, Any]:
    given = deepcopy(WHOLE)
    place: Any = given
    for step in path[:-1]:
        place = place[step]
    if to is ...:
        del place[path[-1]]
    else:
        place[path[-1]] = to
    return given


def _with_line(**line: object) -> dict[str, Any]:
    return {"contributions": [{"name": "x", **line}]}


def test_a_whole_budget_is_read_and_follows_the_schema() -> None:
    Draft202012Validator.check_schema(SCHEMA)
    Draft202012Validator(SCHEMA).validate(WHOLE)
    budget = budget_from_mapping(WHOLE)
    assert [line.name for line in budget.contributions] == ["Calibration", "Resolution", "Scatter", "Room", "Part"]
    assert budget.contributions[0].standard_uncertainty == 0.001
    assert budget.contributions[0].degrees_of_freedom == 50
    assert budget.contributions[4].degrees_of_freedom == INFINITE
    assert budget.coverage == 0.95
    assert 0.0012 < budget.expanded().combined < 0.0014


@pytest.mark.parametrize("coverage", [None, 95, 99])
def test_a_budget_that_is_kept_reads_back_as_it_was(coverage: float | None) -> None:
    budget = budget_from_mapping(
        _changed("coverage_percent", to=coverage) if coverage else _changed("coverage_percent", to=...)
    )
    kept = json.loads(json.dumps(budget_to_mapping(budget), allow_nan=False))
    Draft202012Validator(SCHEMA).validate(kept)
    assert budget_from_mapping(kept).contributions == budget.contributions
    assert budget_from_mapping(kept).expanded() == budget.expanded()


@pytest.mark.parametrize(
    ("given", "field"),
    [
        (["no object"], "budget"),
        ({}, "contributions"),
        (_changed("contribution", to=[]), "contribution"),
        (_changed("contributions", to={}), "contributions"),
        (_changed("measurand", to=5), "measurand"),
        (_changed("coverage_percent", to="much"), "coverage_percent"),
        (_changed("contributions", 0, "name", to=""), "contributions.1.name"),
        (_changed("contributions", 0, "name", to=...), "contributions.1.name"),
        (_changed("contributions", 0, "k", to=...), "contributions.1.k"),
        (_changed("contributions", 0, "k", to=True), "contributions.1.k"),
        (_changed("contributions", 1, "k", to=2), "contributions.2.k"),
        (_changed("contributions", 1, "halfwidth", to=2), "contributions.2.halfwidth"),
        (_changed("contributions", 1, "half_width", to=2), "contributions.2"),
        (_changed("contributions", 1, "degrees_of_freedom", to=2), "contributions.2.degrees_of_freedom"),
        (_changed("contributions", 2, "readings", to=[25.0]), "contributions.3.readings"),
        (_changed("contributions", 2, "readings", to=[25.0, "1.000,5"]), "contributions.3.readings"),
        (_changed("contributions", 2, "estimate", to=25), "contributions.3.estimate"),
        (_changed("contributions", 3, "distribution", to=...), "contributions.4.distribution"),
        (_changed("contributions", 3, "distribution", to="gauss"), "contributions.4.distribution"),
        (_changed("contributions", 3, "distribution", to="normal"), "contributions.4.distribution"),
        (_changed("contributions", 4, "standard_uncertainty", to=...), "contributions.5"),
        (_changed("contributions", 4, "standard_uncertainty", to=[1]), "contributions.5.standard_uncertainty"),
        (_changed("correlations", 0, "between", to=["Room"]), "correlations.1.between"),
        (_changed("correlations", 0, "coefficient", to=None), "correlations.1.coefficient"),
    ],
)
def test_schema_and_code_refuse_the_same_and_the_code_names_the_path(given: object, field: str) -> None:
    assert not Draft202012Validator(SCHEMA).is_valid(given)
    with pytest.raises(MetrologyError) as refusal:
        budget_from_mapping(given)
    assert refusal.value.field == field


@pytest.mark.parametrize(
    ("given", "field"),
    [
        (_with_line(half_width=-1, distribution="rectangular"), "contributions.1.half_width"),
        (_with_line(expanded_uncertainty=1, k=0), "contributions.1.k"),
        (_with_line(standard_uncertainty=-1), "contributions.1.standard_uncertainty"),
        (_with_line(standard_uncertainty=float("nan")), "contributions.1.standard_uncertainty"),
        (_with_line(standard_uncertainty=1, degrees_of_freedom=0), "contributions.1.degrees_of_freedom"),
        (_with_line(standard_uncertainty=10**400), "contributions.1.standard_uncertainty"),
        (_with_line(readings=[1, float("inf")]), "contributions.1.readings"),
        (_changed("contributions", 1, "name", to="Room"), "contributions"),
        (_changed("coverage_percent", to=100), "coverage_percent"),
        (_changed("correlations", 0, "between", to=["Room", "Scatter"]), "correlations"),
    ],
)
def test_magnitudes_are_refused_by_their_path(given: object, field: str) -> None:
    with pytest.raises(MetrologyError) as refusal:
        budget_from_mapping(given).expanded()
    assert refusal.value.field == field
