"""Cells made into numbers: digit by digit for a whole piece at once, each correctly rounded up to 15 digits."""

import math

import numpy as np
import numpy.typing as npt

from service.hydraulics.trace.cells import Bytes, Cells
from service.hydraulics.trace.layout import MISSING
from service.metrology.measured_points import Floats

_MOST_DIGITS = 18  # as many as 64 bits hold
_TENS = 10.0 ** np.arange(_MOST_DIGITS + 2)


def numbers_of(cells: Cells, column: int, decimal: str) -> tuple[Floats, list[int]]:
    """The numbers of a column, NaN where the logger wrote none, and the rows whose text is no number at all."""
    starts, width = cells.starts[column], cells.ends[column] - cells.starts[column]
    if not len(starts):
        return np.empty(0), []
    mantissa = np.zeros(len(starts), dtype=np.int64)
    digits, places = np.zeros(len(starts), dtype=np.int8), np.zeros(len(starts), dtype=np.int8)
    point, plain = np.zeros(len(starts), dtype=np.bool_), width > 0
    negative = np.zeros(len(starts), dtype=np.bool_)
    for step in range(min(int(width.max()), _MOST_DIGITS + 2)):
        inside = width > step
        char = cells.chars.take(starts + step, mode="clip")
        digit = char - np.uint8(48)
        is_digit = (digit < 10) & inside
        is_point = (char == ord(decimal)) & inside
        allowed = is_digit | (is_point & ~point) | ~inside
        if step == 0:
            negative = char == ord("-")
            allowed |= negative | (char == ord("+"))
        plain &= allowed
        np.multiply(mantissa, 10, out=mantissa, where=is_digit)
        np.add(mantissa, digit, out=mantissa, where=is_digit)
        digits += is_digit
        places += is_digit & point
        point |= is_point
    plain &= (digits > 0) & (digits <= _MOST_DIGITS) & (width <= _MOST_DIGITS + 2)
    found = mantissa / _TENS[np.clip(places, 0, _MOST_DIGITS)]
    found = np.where(negative, -found, found)
    return _with_odd_ones(cells, column, decimal, found, plain)


def _with_odd_ones(
    cells: Cells, column: int, decimal: str, found: Floats, plain: npt.NDArray[np.bool_]
) -> tuple[Floats, list[int]]:
    """Numbers with an exponent, and what is no number, cell by cell."""
    unreadable = []
    for row in np.flatnonzero(~plain).tolist():
        text = cells.text(column, row)
        found[row] = _number(text, decimal)
        if math.isnan(found[row]) and text.lower() not in MISSING:
            unreadable.append(row)
    return found, unreadable


def _number(text: str, decimal: str) -> float:
    typed = text.replace(",", ".", 1) if decimal == "," and "." not in text else text
    if "_" in typed or not typed.isascii():  # float() reads what no logger writes
        return math.nan
    try:
        number = float(typed)
    except ValueError:
        return math.nan
    return number if math.isfinite(number) else math.nan


def characters_of(cells: Cells, column: int, back: int) -> Bytes:
    """The sign so many places before each cell's end, 0 where the cell is shorter."""
    places = cells.ends[column] - back
    signs = cells.chars.take(np.maximum(places, 0), mode="clip")
    return np.where(places >= cells.starts[column], signs, np.uint8(0)).astype(np.uint8)
