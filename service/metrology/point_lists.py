"""Points as text: one pair x and y in mm to a line, as instruments and spreadsheets write them."""

import math
import re

import numpy as np

from service.metrology.errors import MetrologyError
from service.metrology.measured_points import Floats

MOST_POINTS = 2_000_000
_OTHER_UNIT = re.compile(r"(?<!\w)(?:[µμu]m|nm|microns?|inch(?:es)?|mil)(?!\w)", re.IGNORECASE)


def parse_points(text: str, columns: str = "x and y in mm") -> Floats:
    """Points (n, 2) in mm from lines of two numbers with `;`, `,` or a tab between them.

    The first line may be a header; one that names another unit is refused. With `;` or a tab between, a decimal comma
    is taken as well as a point. Empty lines count for nothing. `columns` are what the two numbers are, for the
    sentences. Raises MetrologyError, field `points`, with code `points-missing`, `points-unreadable` (the sentence
    names the line), `points-unit` or `too-many-points`.
    """
    lines = text.removeprefix("\ufeff").splitlines()
    numbered = [(number, line) for number, line in enumerate(lines, 1) if line.strip()]
    if not numbered:
        raise MetrologyError("points-missing", f"The list of points is empty: {columns}, one pair to a line.", "points")
    separator = next((sign for sign in (";", "\t") if sign in numbered[0][1]), ",")
    if _is_header(numbered[0][1], separator):
        _refuse_other_unit(numbered[0][1])
        numbered = numbered[1:]
    if not numbered:
        raise MetrologyError("points-missing", "The list of points has a header and no point.", "points")
    if len(numbered) > MOST_POINTS:
        raise MetrologyError("too-many-points", f"The list has more than {MOST_POINTS} points: thin it out.", "points")
    return np.array([_pair(line, separator, number, columns) for number, line in numbered], dtype=np.float64)


def _is_header(line: str, separator: str) -> bool:
    return all(_number(cell, separator) is None and cell.strip() for cell in line.split(separator))


def _refuse_other_unit(header: str) -> None:
    other = _OTHER_UNIT.search(header)
    if other is not None:
        sentence = f"The header names {other[0]}: lengths are read in mm, so export them in mm."
        raise MetrologyError("points-unit", sentence, "points")


def _pair(line: str, separator: str, number: int, columns: str) -> tuple[float, float]:
    cells = line.split(separator)
    if len(cells) != 2:
        raise MetrologyError(
            "points-unreadable",
            f"Line {number} has {len(cells)} values where {columns} are two: separate them by “;” if the numbers "
            "have a decimal comma.",
            "points",
        )
    x, y = (_number(cell, separator) for cell in cells)
    if x is None or y is None or not (math.isfinite(x) and math.isfinite(y)):
        wrong = cells[0] if x is None or not math.isfinite(x) else cells[1]
        raise MetrologyError(
            "points-unreadable",
            f"Line {number} reads “{wrong.strip()[:40]}”, which is not a number: mend or remove it.",
            "points",
        )
    return x, y


def _number(cell: str, separator: str) -> float | None:
    """The cell's number, NaN and infinity included, or None where it has none."""
    typed = cell.strip()
    if separator != ",":
        typed = typed.replace(",", ".", 1)
    # float() also reads what no instrument writes: 1_000 and digits of other scripts.
    if "_" in typed or not typed.isascii():
        return None
    try:
        return float(typed)
    except ValueError:
        return None
