"""What a released injector is like as it leaves: its opening pressure and the flow area of its holes."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from service.workshop.entries import Content, Examined, PartFitted
from service.workshop.limit_sheet import LimitSheet
from service.workshop.opening_history import opening_visit


@dataclass(frozen=True, kw_only=True)
class AsShipped:
    """Opening pressure in bar, hole flow area in mm²; None where it was not measured on what is in the injector."""

    opening_bar: Decimal | None
    area_mm2: Decimal | None


def as_shipped(sheet: LimitSheet, entries: Iterable[tuple[int, Content]]) -> AsShipped:
    """Read from the entries of its overhaul. A nozzle that was renewed has not been gauged: its area is not known."""
    told = list(entries)
    area: Decimal | None = None
    renewed: set[str] = set()
    gauged = ""
    for _, content in told:
        match content:
            case PartFitted(item=item):
                renewed |= {item, *(part.key for part in sheet.members(item))}
            case Examined(part=part, outcome=outcome) if outcome.nozzle is not None and outcome.nozzle.area is not None:
                area, gauged = outcome.nozzle.area.value, part
            case _:
                pass
    visit = opening_visit(0, None, told)
    return AsShipped(opening_bar=visit.as_left_bar, area_mm2=None if gauged in renewed else area)
