"""How dates, instruments and tables are put into words on a document."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import UTC, date, datetime
from typing import Any

from service.metrology.typed_numbers import plain
from service.workshop.measurements import InstrumentUse

_MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]

Block = dict[str, Any]


def day(moment: date | datetime) -> str:
    """A date that reads the same everywhere: 7 Mar 2026. An instant is taken in UTC."""
    if isinstance(moment, datetime):
        moment = moment.astimezone(UTC)
    return f"{moment.day} {_MONTHS[moment.month - 1]} {moment.year}"


def instant(moment: datetime) -> str:
    """Date and time of day in UTC."""
    utc = moment.astimezone(UTC)
    return f"{day(utc)}, {utc:%H:%M} UTC"


def period(first: datetime, last: datetime) -> str:
    """From the first to the last instant in UTC; the day once where it is the same."""
    start, end = first.astimezone(UTC), last.astimezone(UTC)
    if start.date() == end.date():
        return f"{day(start)}, {start:%H:%M} to {end:%H:%M} UTC"
    return f"{instant(start)} to {instant(end)}"


def uncertainty_text(use: InstrumentUse) -> str:
    """`U = 0.002 mm`, empty where the register gives the instrument none (a microscope); k is said unless it is 2."""
    if use.expanded_uncertainty == 0:
        return ""
    k = "" if use.k == 2 else f" (k = {plain(use.k)})"
    return f"U = {plain(use.expanded_uncertainty)} {use.unit}{k}"


def instrument_text(use: InstrumentUse) -> str:
    """Instrument code with its calibration reference."""
    return f"{use.code}, cal. {use.calibration}"


def facts(rows: Iterable[tuple[str, str]], *, wide: bool = False) -> Block:
    """Label and value pairs, two pairs on a line or one `wide` one; a pair without a value is left out."""
    return {"kind": "facts", "wide": wide, "rows": [[label, value] for label, value in rows if value.strip()]}


def cell(text: str, note: str = "", *, strong: bool = False) -> dict[str, Any]:
    """One cell: its text, a smaller note below, and whether it is set bold."""
    return {"text": text, "note": note, "strong": strong}


def table(layout: str, columns: Sequence[str], rows: Iterable[Mapping[str, Any]]) -> Block:
    """A table; `layout` names its column widths in the template."""
    return {"kind": "table", "layout": layout, "columns": list(columns), "rows": list(rows)}


def row(*cells: dict[str, Any]) -> dict[str, Any]:
    """One row of a table."""
    return {"cells": list(cells), "group": ""}


def group_row(title: str) -> dict[str, Any]:
    """A row across the table that names what follows."""
    return {"cells": [], "group": title}


def text(words: str) -> Block:
    """A paragraph."""
    return {"kind": "text", "text": words}


def notice(title: str, words: str) -> Block:
    """A paragraph in a frame, for what must not be overlooked."""
    return {"kind": "notice", "title": title, "text": words}


def statements(lines: Iterable[str]) -> Block:
    """Short sentences, one below the other."""
    return {"kind": "list", "items": list(lines)}


def section(heading: str, *blocks: Block) -> dict[str, Any]:
    """A heading with what stands under it."""
    return {"heading": heading, "blocks": list(blocks)}
