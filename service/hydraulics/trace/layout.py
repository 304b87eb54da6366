"""How a logger's text file is laid out: what stands between its values, its decimal sign, where its rows begin."""

import csv
import re
from collections import Counter
from dataclasses import dataclass

from service.hydraulics.errors import HydraulicsError

DELIMITERS = {";": "semicolon", "\t": "tab", "|": "upright stroke", ",": "comma", " ": "blank", "": "none, one column"}
DECIMAL_SIGNS = {".": "point", ",": "comma"}
MISSING = frozenset({"", "-", "--", "---", "nan", "null", "none", "n/a", "#n/a", "na", "ol", "ovl", "err", "error"})
"""What loggers write, in small letters, where they have no reading."""

_HEAD_BYTES = 65_536
_MOST_SAMPLED = 200
_MOST_PREAMBLE = 200
_NUMBER = re.compile(r"[+-]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+-]?\d{1,3})?", re.ASCII)
_THOUSANDS = re.compile(r"[+-]?\d{1,3}(?:\.\d{3})+,\d*|[+-]?\d{1,3}(?:,\d{3})+\.\d*", re.ASCII)
_TIME = r"\d{1,2}:\d{2}(?::\d{2}(?:[.,]\d{1,9})?)?(?: ?[AaPp][Mm])?(?:Z|[+-]\d{2}:?\d{2})?"
_CLOCK = re.compile(rf"(?:\d{{1,4}}[-/.]\d{{1,2}}[-/.]\d{{1,4}}(?:[T ]+{_TIME})?|{_TIME})", re.ASCII)
_UNIT = re.compile(
    r"[\[(]?(?:[mµu]?s|sec|min|h|hh:mm:ss|m?bar(?:\(g\)|g)?|[Mmk]?Pa|psig?|kgf?/cm[²2]|°?C|K|%|m?[VA]|Hz|-)?[\])]?",
    re.IGNORECASE,
)


@dataclass(frozen=True, slots=True)
class Layout:
    """A table in a text: `start` is the byte where its first row begins, `first_line` that row's line from 1."""

    delimiter: str
    decimal: str
    names: tuple[str, ...]
    preamble: tuple[str, ...]
    start: int
    first_line: int
    sample: tuple[tuple[str, ...], ...]

    @property
    def columns(self) -> int:
        """How many columns each row has."""
        return len(self.names)

    @property
    def has_header(self) -> bool:
        """Whether the columns have names."""
        return any(self.names)


def layout_of(data: bytes, delimiter: str | None = None, decimal: str | None = None) -> Layout:
    """Recognise the layout of a text in UTF-8 or a Latin code page from its first 64 KiB; what is given, stands.

    Raises HydraulicsError, field `file`, with code `trace-empty`, `trace-not-text`, `trace-no-table` or
    `trace-comma-twice`, or field `decimal` with code `trace-decimal-both`.
    """
    head = data[:_HEAD_BYTES]
    if not head.strip():
        raise HydraulicsError("trace-empty", "The file is empty: send the logger's rows of time and pressure.", "file")
    if b"\0" in head:
        raise HydraulicsError("trace-not-text", "This is not a text file: export the trace as CSV.", "file")
    lines = head.split(b"\n")
    whole = lines if len(data) <= _HEAD_BYTES or len(lines) == 1 else lines[:-1]
    texts = [_decoded(line) for line in whole]
    sampled = [text for text in texts if text.strip()][-_MOST_SAMPLED:]
    if not sampled:
        raise _no_table()
    between = _best_delimiter(sampled) if delimiter is None else delimiter
    if delimiter is None and between == "," and _one_named_column(texts):
        between = ""
    columns = _usual(sampled, between)
    first = _first_row(texts, between, columns)
    offset = sum(len(line) + 1 for line in lines[:first])
    rows = [cells_of(text, between) for text in texts[first:] if text.strip()][:_MOST_SAMPLED]
    names, header_rows = _names(texts[:first], between, columns)
    return Layout(
        between,
        _decimal_sign(rows, between) if decimal is None else decimal,
        names,
        tuple(text.strip() for text in texts[: first - header_rows] if text.strip())[:_MOST_PREAMBLE],
        offset,
        first + 1,
        tuple(tuple(row) for row in rows if len(row) == columns),
    )


def cells_of(text: str, delimiter: str) -> list[str]:
    """The cells of one line without blanks and quotation marks around them."""
    if delimiter == "":
        return [text.strip().strip('"')]
    if delimiter == " ":
        return text.split()
    try:
        read = next(iter(csv.reader([text.replace("\r", " ")], delimiter=delimiter)), [])
    except csv.Error:  # a cell longer than a book: no table that a logger wrote
        read = [text]
    return [cell.strip() for cell in read]


def is_number(cell: str) -> bool:
    """Whether a cell is a number with a decimal point or comma."""
    return _NUMBER.fullmatch(cell) is not None


def is_clock(cell: str) -> bool:
    """Whether a cell is a time of day, a date, or both."""
    return _CLOCK.fullmatch(cell) is not None


def _is_value(cell: str) -> bool:
    return cell.lower() in MISSING or is_number(cell) or is_clock(cell) or _THOUSANDS.fullmatch(cell) is not None


def _decoded(line: bytes) -> str:
    try:
        return line.decode("utf-8").removeprefix("\ufeff").rstrip("\r")
    except UnicodeDecodeError:
        return line.decode("cp1252", "replace").rstrip("\r")


def _best_delimiter(sampled: list[str]) -> str:
    """The one that leaves the most cells that are values; the earlier one of equals, none where nothing splits."""
    best, best_share = "", 0.0
    for between in (one for one in DELIMITERS if one):
        columns = _usual(sampled, between)
        rows = [row for text in sampled if len(row := cells_of(text, between)) == columns]
        cells = [cell for row in rows for cell in row]
        share = len(rows) / len(sampled) * sum(map(_is_value, cells)) / len(cells)
        if columns > 1 and share > best_share + 0.01:
            best, best_share = between, share
    lonely = sum(_is_value(text.strip()) for text in sampled) / len(sampled)
    return best if best_share >= lonely and best_share > 0.3 else ""


def _usual(sampled: list[str], between: str) -> int:
    return Counter(len(cells_of(text, between)) for text in sampled).most_common(1)[0][0]


def _one_named_column(texts: list[str]) -> bool:
    """Whether a comma only ever is the decimal sign: the header names one column. Refuses a comma that is both."""
    rows = [text for text in texts if text.strip()]
    first = next((number for number, text in enumerate(rows) if all(map(_is_value, cells_of(text, ",")))), 0)
    if '"' in rows[first]:
        return False
    if first == 0:
        return _decimals(rows)
    named, valued = len(cells_of(rows[first - 1], ",")), len(cells_of(rows[first], ","))
    if named > 1 and named < valued <= 2 * named:
        raise HydraulicsError(
            "trace-comma-twice",
            f"The header names {named} columns and the rows have {valued} pieces, so the comma is both separator and "
            "decimal sign: export with “;” between the values.",
            "file",
        )
    return named == 1 and valued == 2


def _decimals(rows: list[str]) -> bool:
    """Whether what stands after the comma are digits of one length that may begin with 0: no column of its own."""
    pieces = [cells_of(text, ",") for text in rows[:_MOST_SAMPLED]]
    if any(len(cells) != 2 or not all(cell.lstrip("+-").isdigit() for cell in cells) for cells in pieces):
        return False
    after = [cells[1] for cells in pieces]
    return len({len(cell) for cell in after}) == 1 and len(after[0]) > 1 and any(cell[0] == "0" for cell in after)


def _first_row(texts: list[str], between: str, columns: int) -> int:
    for number, text in enumerate(texts):
        cells = cells_of(text, between)
        if (
            len(cells) == columns
            and all(map(_is_value, cells))
            and any(is_number(one) or is_clock(one) for one in cells)
        ):
            return number
        if len(cells) == columns and sum(map(is_number, cells)) >= 2:  # a column of words, such as a state
            return number
    raise _no_table()


def _no_table() -> HydraulicsError:
    return HydraulicsError(
        "trace-no-table",
        "No rows of numbers were found: the file needs one row to a reading, time and pressure.",
        "file",
    )


def _names(above: list[str], between: str, columns: int) -> tuple[tuple[str, ...], int]:
    """The columns' names, a row of units under them joined on, and how many lines they take."""
    filled = [number for number, text in enumerate(above) if text.strip()]
    if not filled:
        return ("",) * columns, 0
    last = filled[-1]
    names = cells_of(above[last], between)
    if len(names) != columns or any(map(is_number, names)):
        return ("",) * columns, 0
    taken = len(above) - last
    units_only = any(names) and all(map(_UNIT.fullmatch, names))
    if units_only and last >= 1 and len(upper := cells_of(above[last - 1], between)) == columns and any(upper):
        names = [f"{name} [{unit.strip('[]() ')}]" if unit else name for name, unit in zip(upper, names, strict=True)]
        taken += 1
    return tuple(name[:80] for name in names), taken


def _decimal_sign(rows: list[list[str]], between: str) -> str:
    numbers = [cell for row in rows for cell in row if is_number(cell)]
    commas, points = any("," in cell for cell in numbers), any("." in cell for cell in numbers)
    thousands = any(_THOUSANDS.fullmatch(cell) for row in rows for cell in row)
    if (between != "," and thousands) or (commas and points):
        raise HydraulicsError(
            "trace-decimal-both",
            "Numbers with a decimal comma and with a decimal point stand in one file: say which one it is, or export "
            "without separators of thousands.",
            "decimal",
        )
    return "," if commas else "."
