"""The spray holes on a certificate: of each gauging in force a table of brackets, a drawing, spread and flow area."""

from collections.abc import Iterator
from dataclasses import asdict
from decimal import Decimal
from enum import StrEnum
from typing import Any

from service.documents.nozzle_drawing import nozzle_drawing
from service.documents.nozzle_words import HOLE_COLUMNS, HoleLine, hole_lines, nozzle_facts
from service.documents.printed_values import Block, cell, row, table
from service.metrology.typed_numbers import plain
from service.workshop.entries import Examined
from service.workshop.limit_sheet import PinCharacteristic
from service.workshop.nozzle_found import NozzleFound
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import Phase, VerdictKind

_FONT = 'font-family="Libertinus Serif"'  # the document's own: no other is in the file


def nozzle_blocks(record: OverhaulRecord) -> Iterator[Block]:
    """For each characteristic by gauge pins, found and after rework, in the sheet's order."""
    for item in record.sheet.characteristics:
        if not isinstance(item, PinCharacteristic):
            continue
        for phase in (Phase.FOUND, Phase.AFTER_REWORK):
            examined = record.finding(item.key, phase)
            if examined is not None and examined.outcome.nozzle is not None:
                yield from _blocks(item, examined.outcome.nozzle, phase)


def nozzle_attached(examined: Examined) -> dict[str, Any]:
    """For machines: every bracket, the spread and the flow area, decimals as text; nothing for another finding."""
    found = examined.outcome.nozzle
    return {} if found is None else {"nozzle": _plain(asdict(found))}


def _blocks(item: PinCharacteristic, found: NozzleFound, phase: Phase) -> Iterator[Block]:
    title = f"{item.title}{', after rework' if phase is Phase.AFTER_REWORK else ', as found'}"
    verdicts = [one.verdict for one in found.holes]
    told = " ".join(f"Hole {one.hole}: {one.verdict.label.lower()}." for one in found.holes)
    drawn = nozzle_drawing(verdicts, title, f"nozzle-{phase.value}")
    yield {
        "kind": "figure",
        "title": title,
        "svg": drawn.replace('font-family="sans-serif"', _FONT),
        "alternative": f"The nozzle seen from its tip, hole 1 on top, counted clockwise. {told}",
        "rows": [list(fact) for fact in nozzle_facts(item, found)],
    }
    yield table("holes", HOLE_COLUMNS, (_row(line) for line in hole_lines(found)))


def _row(line: HoleLine) -> dict[str, Any]:
    adverse = line.verdict is not VerdictKind.CONFORMS
    words = (line.hole, line.bracket, line.widened, line.middle)
    return row(*(cell(word) for word in words), cell(line.verdict.label, strong=adverse))


def _plain(value: Any) -> Any:
    match value:
        case Decimal():
            return plain(value)
        case StrEnum():
            return value.value
        case dict():
            return {key: _plain(one) for key, one in value.items()}
        case list() | tuple():
            return [_plain(one) for one in value]
        case _:
            return value
