"""A budget as a mapping, as it stands in a JSON file: `shared/schemas/uncertainty-budget.schema.json`.

Every refusal names the field by its path, such as `contributions.2.half_width` (counted from 1).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from service.metrology.contributions import (
    INFINITE,
    Contribution,
    Distribution,
    from_expanded,
    from_half_width,
    from_readings,
    from_resolution,
)
from service.metrology.coverage import TWO_SIGMA, coverage_from_percent
from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import parse_decimal
from service.metrology.uncertainty_budget import Correlation, ExpandedUncertainty, expand

_BUDGET_KEYS = {"measurand", "unit", "coverage_percent", "contributions", "correlations"}
_LINE_KEYS = {"name", "estimate", "sensitivity", "degrees_of_freedom", "distribution"}
_WAYS = ("standard_uncertainty", "expanded_uncertainty", "half_width", "resolution", "readings")
_MOST_CONTRIBUTIONS = 200
_MOST_READINGS = 100_000


@dataclass(frozen=True, slots=True)
class Budget:
    """What was measured, its unit, the coverage as a probability, the contributions and their correlations."""

    measurand: str
    unit: str
    coverage: float
    contributions: tuple[Contribution, ...]
    correlations: tuple[Correlation, ...]

    def expanded(self) -> ExpandedUncertainty:
        """The budget combined; raises MetrologyError as `expand` does."""
        return expand(self.contributions, self.coverage, self.correlations)


def budget_from_mapping(given: object) -> Budget:
    """Read a budget from a decoded JSON object; raises MetrologyError with the path of the field at fault."""
    known = _object(given, "budget", _BUDGET_KEYS)
    lines = _list(known.get("contributions"), "contributions", _MOST_CONTRIBUTIONS)
    pairs = _list(known.get("correlations", []), "correlations", _MOST_CONTRIBUTIONS**2)
    percent = known.get("coverage_percent")
    return Budget(
        measurand=_text(known.get("measurand", ""), "measurand"),
        unit=_text(known.get("unit", ""), "unit"),
        coverage=TWO_SIGMA if percent is None else coverage_from_percent(_number(percent, "coverage_percent")),
        contributions=tuple(_contribution(line, f"contributions.{n}") for n, line in enumerate(lines, 1)),
        correlations=tuple(_correlation(pair, f"correlations.{n}") for n, pair in enumerate(pairs, 1)),
    )


def budget_to_mapping(budget: Budget) -> dict[str, Any]:
    """The budget as an object of the same format, for a reading to keep; infinite freedom is left out.

    Each input stands by its standard uncertainty, so that it reads back as the same contribution.
    """
    lines: list[dict[str, Any]] = []
    for one in budget.contributions:
        line: dict[str, Any] = {
            "name": one.name,
            "estimate": one.estimate,
            "standard_uncertainty": one.standard_uncertainty,
            "sensitivity": one.sensitivity,
            "distribution": one.distribution.value,
        }
        lines.append(
            line if one.degrees_of_freedom == INFINITE else line | {"degrees_of_freedom": one.degrees_of_freedom}
        )
    return {
        "measurand": budget.measurand,
        "unit": budget.unit,
        "coverage_percent": 95.45 if budget.coverage == TWO_SIGMA else 100.0 * budget.coverage,
        "contributions": lines,
        "correlations": [
            {"between": [pair.one, pair.other], "coefficient": pair.coefficient} for pair in budget.correlations
        ],
    }


def _contribution(given: object, at: str) -> Contribution:
    line = _object(given, at, _LINE_KEYS | set(_WAYS) | {"k"})
    ways = [way for way in _WAYS if way in line]
    if len(ways) != 1:
        raise MetrologyError("contribution-unclear", f"{at}: give exactly one of {', '.join(_WAYS)}.", at)
    try:
        return _by_its_way(line, ways[0], at)
    except MetrologyError as refusal:
        if refusal.field is None or refusal.field.startswith(at):
            raise
        raise MetrologyError(refusal.code, refusal.sentence, f"{at}.{refusal.field}") from refusal


def _by_its_way(line: Mapping[str, Any], way: str, at: str) -> Contribution:
    name = _text(line.get("name", ""), f"{at}.name")
    estimate = _number(line.get("estimate", 0), f"{at}.estimate")
    sensitivity = _number(line.get("sensitivity", 1), f"{at}.sensitivity")
    shape = _distribution(line, way, at)
    typed = line.get("degrees_of_freedom")
    freedom = INFINITE if typed is None else _number(typed, f"{at}.degrees_of_freedom")
    if way in ("readings", "resolution") and typed is not None:
        raise MetrologyError(
            "contribution-unclear",
            f"{at}: {way} give the degrees of freedom themselves, so leave degrees_of_freedom out.",
            f"{at}.degrees_of_freedom",
        )
    if ("k" in line) != (way == "expanded_uncertainty"):
        raise MetrologyError(
            "contribution-unclear", f"{at}: k stands with expanded_uncertainty, and only there.", f"{at}.k"
        )
    if way == "readings":
        if "estimate" in line:
            raise MetrologyError(
                "contribution-unclear",
                f"{at}: the estimate of readings is their mean, so leave estimate out.",
                f"{at}.estimate",
            )
        readings = _list(line["readings"], f"{at}.readings", _MOST_READINGS)
        return from_readings(name, [_number(one, f"{at}.readings") for one in readings], sensitivity=sensitivity)
    amount = _number(line[way], f"{at}.{way}")
    if way == "resolution":
        return from_resolution(name, amount, estimate=estimate, sensitivity=sensitivity)
    if way == "half_width":
        return from_half_width(
            name, amount, shape, estimate=estimate, sensitivity=sensitivity, degrees_of_freedom=freedom
        )
    if way == "expanded_uncertainty":
        k = _number(line["k"], f"{at}.k")
        return from_expanded(name, amount, k, estimate=estimate, sensitivity=sensitivity, degrees_of_freedom=freedom)
    return Contribution(name, estimate, amount, sensitivity, freedom, shape)


def _distribution(line: Mapping[str, Any], way: str, at: str) -> Distribution:
    field = f"{at}.distribution"
    typed = line.get("distribution")
    if typed is None and way == "half_width":
        raise MetrologyError(
            "distribution-missing",
            f"{at}: a half-width needs its distribution: rectangular, triangular or u-shaped.",
            field,
        )
    usual = {"resolution": "rectangular"}.get(way, "normal")
    try:
        shape = Distribution(usual if typed is None else typed)
    except ValueError as unknown:
        names = ", ".join(Distribution)
        raise MetrologyError(
            "distribution-unknown", f"{at}: there is no such distribution; use {names}.", field
        ) from unknown
    if way in ("resolution", "readings", "expanded_uncertainty") and shape != usual:
        raise MetrologyError("distribution-unknown", f"{at}: {way} is {usual} in itself: leave it out.", field)
    return shape


def _correlation(given: object, at: str) -> Correlation:
    pair = _object(given, at, {"between", "coefficient"})
    between = _list(pair.get("between"), f"{at}.between", 2)
    if len(between) != 2:
        raise MetrologyError("correlation-unknown", f"{at}: name the two contributions.", f"{at}.between")
    one, other = (_text(name, f"{at}.between") for name in between)
    return Correlation(one, other, _number(pair.get("coefficient"), f"{at}.coefficient"))


def _object(given: object, at: str, keys: set[str]) -> Mapping[str, Any]:
    if not isinstance(given, Mapping):
        raise MetrologyError("budget-unreadable", f"{at} is not a JSON object: see the schema.", at)
    unknown = sorted(set(given) - keys)
    if unknown:
        raise MetrologyError(
            "field-unknown",
            f"{at} has an unknown field “{unknown[0][:40]}”: use {', '.join(sorted(keys))}.",
            unknown[0] if at == "budget" else f"{at}.{unknown[0]}",
        )
    return given


def _list(given: object, at: str, most: int) -> Sequence[Any]:
    if not isinstance(given, list) or len(given) > most:
        raise MetrologyError("budget-unreadable", f"{at} is not a list of at most {most}.", at)
    return given


def _text(given: object, at: str) -> str:
    if not isinstance(given, str) or len(given) > 200:
        raise MetrologyError("budget-unreadable", f"{at} is not a text of at most 200 characters.", at)
    return given


def _number(given: object, at: str) -> float:
    if isinstance(given, bool) or not isinstance(given, int | float | str):
        raise MetrologyError("number-missing", f"{at} is not a number.", at)
    try:
        return float(parse_decimal(given, at)) if isinstance(given, str) else float(given)
    except OverflowError as beyond:
        raise MetrologyError("number-out-of-range", f"{at} is beyond any measurement.", at) from beyond
