"""Times of day and dates made into seconds. Only differences count: a date may begin with its day or its month.

A date that begins with its year is read as the calendar has it; of any other the day is only seen to change, and a time
of day without a date has passed midnight where it falls by more than twelve hours.
"""

import re

import numpy as np
import numpy.typing as npt

from service.hydraulics.trace.cells import Cells, Places
from service.hydraulics.trace.numbers import characters_of
from service.metrology.measured_points import Floats

_GROUPS = 7
_DAY = 86_400.0
_LONGEST = 40
_YEAR_FIRST = re.compile(r"\d{4}[-/.]\d{1,2}[-/.]\d{1,2}")
_DATE = re.compile(r"\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}")


def clock_seconds(cells: Cells, column: int, example: str) -> tuple[Floats, Places]:
    """Seconds within the day (NaN where no time stands) and a number of the day, for each row of a piece.

    `example` is one cell of the file: its form is that of all. The day is that of the calendar where the year stands
    first, otherwise a number that changes with the date, or zero without a date.
    """
    dated, year_first = _DATE.match(example) is not None, _YEAR_FIRST.match(example) is not None
    groups, digits, count = _digit_groups(cells, column, 3 if dated else 0)
    at = 3 if dated else 0
    hours, minutes, seconds = (groups[at + step].astype(np.float64) for step in range(3))
    hours = _of_twelve(cells, column, hours) if re.search(r"[AaPp][Mm]$", example) else hours
    fraction = groups[at + 3] / 10.0 ** digits[at + 3]
    within = hours * 3600 + minutes * 60 + seconds + fraction
    whole = (count >= at + 2) & (hours < 25) & (minutes < 60) & (seconds < 61)
    return np.where(whole, within, np.nan), _days(groups, dated, year_first)


def over_midnight(within: Floats, day: Places, calendar: bool) -> Floats:
    """Seconds since the first day of rows in their order, from `clock_seconds`; `calendar`: the days are real ones."""
    if not len(within):
        return within
    if calendar:
        return np.asarray(within + (day - day[0]) * _DAY, dtype=np.float64)
    passed = np.diff(day, prepend=day[0]) != 0
    if not passed.any():
        passed = np.diff(within, prepend=within[0]) < -_DAY / 2
    return within + np.cumsum(passed) * _DAY


def is_calendar(example: str) -> bool:
    """Whether a cell's date begins with its year."""
    return _YEAR_FIRST.match(example) is not None


def _digit_groups(cells: Cells, column: int, dated: int) -> tuple[Places, Places, Places]:
    """The numbers between other signs: values and digits (7, rows), and how many of them each row has."""
    starts, width = cells.starts[column], cells.ends[column] - cells.starts[column]
    rows = len(starts)
    groups, digits = np.zeros((_GROUPS + 1, rows), dtype=np.int64), np.zeros((_GROUPS + 1, rows), dtype=np.int64)
    at, over = np.zeros(rows, dtype=np.int64), np.zeros(rows, dtype=np.bool_)
    value, length = np.zeros(rows, dtype=np.int64), np.zeros(rows, dtype=np.int64)
    for step in range(min(int(width.max(initial=0)), _LONGEST) + 1):
        char = cells.chars.take(starts + step, mode="clip")
        inside = width > step
        digit = char - np.uint8(48)
        is_digit = (digit < 10) & inside & ~over & (length < 9)
        closing = ~((digit < 10) & inside) & (length > 0) & ~over
        if closing.any():
            which = np.flatnonzero(closing)
            place = np.minimum(at[which], _GROUPS)
            groups[place, which], digits[place, which] = value[which], length[which]
            at[which] += 1
            value[which] = length[which] = 0
        # A zone follows the time: what stands after its sign is no fraction of a second.
        over |= inside & ((char == ord("+")) | (char == ord("Z")) | ((char == ord("-")) & (at >= dated + 2)))
        np.multiply(value, 10, out=value, where=is_digit)
        np.add(value, digit, out=value, where=is_digit)
        length += is_digit
    return groups, digits, at


def _of_twelve(cells: Cells, column: int, hours: Floats) -> Floats:
    half = characters_of(cells, column, 2)
    afternoon: npt.NDArray[np.bool_] = (half == ord("P")) | (half == ord("p"))
    return np.asarray(hours % 12 + 12 * afternoon, dtype=np.float64)


def _days(groups: Places, dated: bool, year_first: bool) -> Places:
    if not dated:
        return np.zeros(groups.shape[1], dtype=np.int64)
    if not year_first:
        return np.asarray(groups[0] * 10_000_000 + groups[1] * 10_000 + groups[2], dtype=np.int64)
    months = (groups[0] - 1970).astype("datetime64[Y]").astype("datetime64[M]") + np.clip(groups[1] - 1, 0, 11)
    return np.asarray((months.astype("datetime64[D]") + (groups[2] - 1)).astype(np.int64))
