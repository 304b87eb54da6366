"""Which column of a logger's file is the time, the pressure and the temperature, and in which units."""

import re
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from itertools import pairwise

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.trace.layout import Layout, is_clock, is_number
from service.metrology.units import convert

_PA = convert(Decimal(1), "MPa", "bar") / 1_000_000
BAR_PER_UNIT = {
    **{unit: convert(Decimal(1), unit, "bar") for unit in ("bar", "MPa", "kgf/cm²", "psi")},
    "kPa": _PA * 1_000,
    "Pa": _PA,
    "mbar": Decimal("0.001"),
}
"""Units of gauge pressure that loggers write, each in bar."""

_PRESSURE_SPELLINGS = {
    **{unit.lower(): unit for unit in BAR_PER_UNIT},
    **dict.fromkeys(("barg", "bar(g)", "bar g"), "bar"),
    **dict.fromkeys(("psig", "lbf/in²", "lbf/in2"), "psi"),
    **dict.fromkeys(("kgf/cm2", "kgf/cm^2", "kg/cm²", "kg/cm2", "kp/cm²", "kp/cm2"), "kgf/cm²"),
}
_ABSOLUTE = frozenset({"bara", "bar(a)", "bar a", "psia", "abs", "absolute", "bar abs"})
_SECONDS = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), 1.0),
    **dict.fromkeys(("ms", "msec", "millisecond", "milliseconds"), 1e-3),
    **dict.fromkeys(("µs", "μs", "us", "microsecond", "microseconds"), 1e-6),
    **dict.fromkeys(("min", "minute", "minutes"), 60.0),
    **dict.fromkeys(("h", "hour", "hours", "hr"), 3600.0),
}
_TIME_WORD = re.compile(r"time|timestamp|datetime|clock|elapsed|t|zeit|tid|tijd|tiempo|tempo", re.IGNORECASE)
_PRESSURE_WORD = re.compile(r"press\w*|p\d{0,2}|druck\w*|presi[oó]n|tryck", re.IGNORECASE)
_TEMPERATURE_WORD = re.compile(r"temp|temperature\w*|temp\d|temperatur", re.IGNORECASE)
_NAMED_UNIT = re.compile(
    r"[\[(]\s*(?P<unit>(?:[^\[\]()]|\([ga]\))+)\s*[\])]\s*$|(?:/|,|\bin\b)\s*(?P<after>[^/,]+(?:/cm\S*)?)$"
)
_DEGREES = frozenset({"°c", "degc", "deg c", "℃"})
_RATE = re.compile(
    r"(?:rate|frequency)[^\d]{0,24}?(?P<rate>\d+(?:[.,]\d+)?)\s*(?P<kilo>k?)(?:hz|s/s|sps|samples/s|/s)", re.IGNORECASE
)
_INTERVAL = re.compile(
    r"(?:interval|period)[^\d]{0,24}?(?P<step>\d+(?:[.,]\d+)?)\s*(?P<unit>µs|us|ms|s)\b", re.IGNORECASE
)


class TimeBase(StrEnum):
    """Where the time of a row comes from."""

    ELAPSED = "elapsed"
    CLOCK = "clock"
    RATE = "rate"


@dataclass(frozen=True, slots=True)
class TimeSource:
    """`column` counts from 0 and is None for a sample rate; `seconds` is one step of an elapsed time in s."""

    base: TimeBase
    column: int | None
    seconds: float = 1.0
    rate_hz: float | None = None
    assumed: bool = False


def named_column(layout: Layout, asked: str, field: str) -> int:
    """The column of a name, or of a number from 1. Raises HydraulicsError, code `trace-no-such-column`."""
    wanted = asked.strip().lower()
    named = [number for number, name in enumerate(layout.names) if name.lower() == wanted]
    named = named or [number for number, name in enumerate(layout.names) if wanted and words_of(name)[0] == wanted]
    if named:
        return named[0]
    if wanted.isascii() and wanted.isdigit() and len(wanted) < 5 and 1 <= int(wanted) <= layout.columns:
        return int(wanted) - 1
    raise HydraulicsError(
        "trace-no-such-column",
        f"The file has no column “{asked[:40]}”: name one of {shown_columns(layout)}.",
        field,
    )


def shown_columns(layout: Layout) -> str:
    """The columns in words: names where there are any, else numbers."""
    return ", ".join(f"{number} “{name}”" if name else str(number) for number, name in enumerate(layout.names, 1))


def words_of(name: str) -> tuple[str, str]:
    """A column's name and its unit, both in small letters: `Pressure [bar]` is `pressure` and `bar`."""
    text = name.strip().lower()
    head, _, last = text.replace("_", " ").rpartition(" ")
    if head and _known_unit(last):
        return head.strip(" ,/"), last
    match = _NAMED_UNIT.search(text)
    if match is None:
        return text, ""
    return text[: match.start()].strip(" ,/_"), (match["unit"] or match["after"]).strip()


def pressure_column(layout: Layout, asked: str | None, taken: frozenset[int]) -> int:
    """The pressure's column. Raises HydraulicsError, field `pressure_column`: none, or several that could be it."""
    if asked:
        return _of_numbers(layout, named_column(layout, asked, "pressure_column"))
    called = [number for number, name in enumerate(layout.names) if number not in taken and _is_pressure(name)]
    if len(called) == 1:
        return _of_numbers(layout, called[0])
    free = [number for number in range(layout.columns) if number not in taken and _numeric(layout, number)]
    named = [number for number in free if _is_pressure(layout.names[number])]
    if not layout.has_header:
        named = free[:1] if len(free) == 1 else []
    if len(named) == 1:
        return named[0]
    several = "more than one column could be the pressure" if named or len(free) > 1 else "no column is the pressure"
    raise HydraulicsError(
        "trace-no-pressure",
        f"In this file {several}: say which of {shown_columns(layout)} it is.",
        "pressure_column",
    )


def _of_numbers(layout: Layout, column: int) -> int:
    if _numeric(layout, column):
        return column
    odd = next(row[column] for row in layout.sample if not is_number(row[column]))
    raise HydraulicsError(
        "trace-not-numbers",
        f"Column {column + 1} should be the pressure and reads “{odd[:30]}”, which is no number: choose "
        "another column.",
        "pressure_column",
    )


def temperature_column(layout: Layout, asked: str | None, taken: frozenset[int]) -> int | None:
    """The temperature's column in °C, the first of several; None where there is none."""
    if asked:
        return named_column(layout, asked, "temperature_column")
    for number, name in enumerate(layout.names):
        word, unit = words_of(name)
        pieces = re.split(r"[\s_.]+", word)
        if number not in taken and (unit in _DEGREES or any(map(_TEMPERATURE_WORD.fullmatch, pieces))):
            return number if unit in _DEGREES or unit in ("", "c") else None
    return None


def pressure_unit(name: str, given: str | None) -> str:
    """The unit of gauge pressure, as given or from the column's name.

    Raises HydraulicsError, field `pressure_unit`, code `trace-unit-asked`, `trace-unit-unknown` or `trace-absolute`.
    """
    told = (given or words_of(name)[1]).strip().lower()
    if told in _ABSOLUTE or "abs" in words_of(name)[0].split():
        raise HydraulicsError(
            "trace-absolute",
            "The column is of absolute pressure: a test rig shows gauge pressure, so take the air's off first.",
            "pressure_unit",
        )
    if not told:
        raise HydraulicsError(
            "trace-unit-asked",
            f"The file does not say in which unit the pressure is: choose one of {', '.join(BAR_PER_UNIT)}.",
            "pressure_unit",
        )
    if told not in _PRESSURE_SPELLINGS:
        raise HydraulicsError(
            "trace-unit-unknown",
            f"“{told[:20]}” is no unit of pressure known here: choose one of {', '.join(BAR_PER_UNIT)}.",
            "pressure_unit",
        )
    return _PRESSURE_SPELLINGS[told]


def time_source(layout: Layout, asked: str | None, rate_hz: float | None) -> TimeSource:
    """Where the time comes from: a rate that is given, a column, or a rate that the file names above its rows.

    Raises HydraulicsError, field `rate_hz`, where there is none of them.
    """
    if rate_hz is not None:
        if not 0.01 <= rate_hz <= 1e7:
            raise HydraulicsError("trace-rate", "The sample rate lies between 0.01 and 10 000 000 a second.", "rate_hz")
        return TimeSource(TimeBase.RATE, None, rate_hz=rate_hz)
    column = named_column(layout, asked, "time_column") if asked else _time_column(layout)
    if column is not None:
        return _of_column(layout, column)
    stated = _stated_rate(layout)
    if stated is not None:
        return TimeSource(TimeBase.RATE, None, rate_hz=stated)
    raise HydraulicsError(
        "trace-time-asked",
        "The file has no column of time: give the sample rate, in readings a second.",
        "rate_hz",
    )


def _of_column(layout: Layout, column: int) -> TimeSource:
    cells = [row[column] for row in layout.sample]
    if sum(map(is_clock, cells)) * 2 > len(cells):
        return TimeSource(TimeBase.CLOCK, column)
    word, unit = words_of(layout.names[column])
    told = _SECONDS.get(unit) or _SECONDS.get(word)
    first = next((float(cell.replace(",", ".")) for cell in cells if is_number(cell)), 0.0)
    if told is None and first > 1e11:  # milliseconds since 1970: no bench has run for so many seconds
        return TimeSource(TimeBase.ELAPSED, column, 1e-3, assumed=True)
    return TimeSource(TimeBase.ELAPSED, column, told or 1.0, assumed=told is None)


def _time_column(layout: Layout) -> int | None:
    clocks = [
        number
        for number in range(layout.columns)
        if any(is_clock(row[number]) and ":" in row[number] for row in layout.sample)
    ]
    if clocks:
        return clocks[0]
    for number, name in enumerate(layout.names):
        word, unit = words_of(name)
        pieces = re.split(r"[\s_.]+", word)
        if unit in _DEGREES or not _numeric(layout, number):
            continue
        if unit in _SECONDS or word in _SECONDS or any(map(_TIME_WORD.fullmatch, pieces)):
            return number
    if not layout.has_header and layout.columns > 1 and _ascends(layout, 0):
        return 0
    return None


def _ascends(layout: Layout, column: int) -> bool:
    numbers = [float(row[column].replace(",", ".")) for row in layout.sample if is_number(row[column])]
    return len(numbers) > 2 and all(later >= earlier for earlier, later in pairwise(numbers))


def _numeric(layout: Layout, column: int) -> bool:
    return sum(is_number(row[column]) for row in layout.sample) * 2 > len(layout.sample)


def _is_pressure(name: str) -> bool:
    word, unit = words_of(name)
    pieces = re.split(r"[\s_.]+", word)
    return unit in _PRESSURE_SPELLINGS or unit in _ABSOLUTE or any(map(_PRESSURE_WORD.fullmatch, pieces))


def _known_unit(text: str) -> bool:
    return text in _PRESSURE_SPELLINGS or text in _ABSOLUTE or text in _SECONDS or text in _DEGREES


def _stated_rate(layout: Layout) -> float | None:
    for text in layout.preamble:
        if found := _RATE.search(text):
            return float(found["rate"].replace(",", ".")) * (1000 if found["kilo"] else 1)
        if found := _INTERVAL.search(text):
            step = float(found["step"].replace(",", ".")) * _SECONDS[found["unit"].lower()]
            return 1 / step if step > 0 else None
    return None
