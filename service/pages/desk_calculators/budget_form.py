"""An uncertainty budget typed as numbered rows of a form, read into the mapping that a budget file holds."""

from collections.abc import Iterator, Mapping
from typing import Any

from service.actions.shop import Refused
from service.metrology.budget_file import Budget, budget_from_mapping
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import parse_decimal
from service.metrology.units import parse_quantity, unit_name
from service.pages.choices import Option
from service.pages.typed_forms import Typed

FEWEST_ROWS, MOST_ROWS = 3, 40
USUAL = {"unit": "mm", "coverage_percent": "95.45"}
WAYS = (
    Option("expanded_uncertainty", "Expanded uncertainty U with k (a certificate)"),
    Option("resolution", "Resolution: step of the display"),
    Option("readings", "Repeated readings"),
    Option("rectangular", "Half-width, rectangular: anything within ±"),
    Option("triangular", "Half-width, triangular: rather near the middle"),
    Option("u-shaped", "Half-width, U-shaped: swings between the ends"),
    Option("standard_uncertainty", "Standard uncertainty u"),
)
_HALF_WIDTHS = ("rectangular", "triangular", "u-shaped")
_COLUMNS = ("name", "way", "amount", "k", "degrees_of_freedom", "sensitivity")
_AMOUNTS = ("standard_uncertainty", "expanded_uncertainty", "half_width", "resolution", "readings", "distribution")


def rows_of(typed: Typed) -> int:
    """How many rows the form has."""
    text = typed.text("rows")
    asked = int(text) if text.isascii() and text.isdigit() and len(text) < 4 else FEWEST_ROWS
    return min(max(asked, FEWEST_ROWS), MOST_ROWS)


def filled_rows(typed: Typed) -> list[int]:
    """The numbers of the rows in which something stands, counted from 1."""
    return [row for row in range(1, rows_of(typed) + 1) if any(typed.text(f"{one}-{row}") for one in _COLUMNS)]


def budget_of(typed: Typed) -> Budget:
    """The budget as it was typed; raises DomainError on the field of the form."""
    rows, unit = filled_rows(typed), unit_name(typed.text("unit") or USUAL["unit"])
    if not rows:
        raise Refused("budget-empty", "Enter at least one contribution: its name, how it is known, how much.", "name-1")
    given = {
        "measurand": typed.text("measurand"),
        "unit": unit,
        "coverage_percent": float(
            parse_decimal(typed.text("coverage_percent") or USUAL["coverage_percent"], "coverage_percent")
        ),
        "contributions": [_line(typed, row, unit) for row in rows],
    }
    try:
        return budget_from_mapping(given)
    except DomainError as refusal:
        raise on_the_form(refusal, rows) from refusal


def on_the_form(refusal: DomainError, rows: list[int]) -> DomainError:
    """The refusal of a budget file with its field and its words as they stand on the form."""
    sentence, field = refusal.sentence, refusal.field or ""
    _, _, place = field.partition("contributions.")
    number, _, key = place.partition(".")
    if number.isdigit() and int(number) <= len(rows):
        row = rows[int(number) - 1]
        sentence = sentence.replace(f"contributions.{number}", f"Row {row}").replace("_", " ")
        return Refused(refusal.code, sentence, f"{'amount' if key in _AMOUNTS else key or 'name'}-{row}")
    return Refused(refusal.code, sentence, "name-1" if field == "contributions" else field)


def _line(typed: Typed, row: int, unit: str) -> Mapping[str, Any]:
    way, name = typed.text(f"way-{row}"), typed.text(f"name-{row}")
    if not name:
        raise Refused("contribution-unnamed", "Say what contributes here.", f"name-{row}")
    if way not in {option.value for option in WAYS}:
        raise Refused("choice", "Choose how this contribution is known.", f"way-{row}")
    line: dict[str, Any] = {"name": name}
    sensitivity = typed.text(f"sensitivity-{row}")
    if sensitivity:
        line["sensitivity"] = _number(sensitivity, "sensitivity", row)
    if typed.text(f"degrees_of_freedom-{row}"):
        line["degrees_of_freedom"] = _number(typed.text(f"degrees_of_freedom-{row}"), "degrees_of_freedom", row)
    if typed.text(f"k-{row}") or way == "expanded_uncertainty":
        line["k"] = _number(typed.text(f"k-{row}"), "k", row)
    # With a sensitivity the amount is in the input's own unit, which only the person knows.
    amounts = [
        _number(one, "amount", row, "" if sensitivity else unit) for one in _pieces(typed.text(f"amount-{row}"), way)
    ]
    if way in _HALF_WIDTHS:
        return {**line, "half_width": amounts[0], "distribution": way}
    return {**line, way: amounts if way == "readings" else amounts[0]}


def _pieces(text: str, way: str) -> Iterator[str]:
    """One amount, or the repeated readings with `;` or blanks between."""
    if way != "readings":
        yield text
        return
    separated = text.replace(";", "\n").splitlines() if ";" in text or "\n" in text else text.split()
    yield from [one.strip() for one in separated if one.strip()] or [""]


def _number(text: str, column: str, row: int, unit: str = "") -> float:
    try:
        return float(parse_quantity(text, unit, column) if unit else parse_decimal(text, column))
    except DomainError as refusal:
        raise Refused(refusal.code, refusal.sentence, f"{column}-{row}") from refusal
