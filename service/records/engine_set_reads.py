"""Released injectors of one engine that have not come back since, with what they are like as they leave."""

from dataclasses import dataclass
from datetime import date

from service.records.board_reads import stored_day
from service.records.json_text import content_from_json
from service.records.sheet_file import stored_sheet
from service.records.store import Store
from service.workshop.as_shipped import AsShipped, as_shipped
from service.workshop.entries import Content

NEWEST = 60
"""So many of the newest are offered: more than the largest engine takes."""


@dataclass(frozen=True, slots=True)
class ReleasedInjector:
    """One of them, in the order of arrival."""

    number: str
    serial: str
    cylinder: int
    released_on: date
    shipped: AsShipped


_RELEASED = (
    "SELECT o.id, o.number, u.serial, o.cylinder, o.closed_at, s.content FROM overhaul o "
    "JOIN unit u ON u.id = o.unit_id JOIN sheet_revision s ON s.id = o.sheet_id "
    "WHERE o.engine_id = ? AND o.stage = 'released' "
    "AND NOT EXISTS (SELECT 1 FROM overhaul n WHERE n.unit_id = o.unit_id AND n.id > o.id) "
    "ORDER BY o.id DESC LIMIT ?"
)
_TOLD = (
    "SELECT e.overhaul_id, e.seq, e.payload FROM entry e WHERE e.overhaul_id IN ({}) "
    "AND e.kind IN ('bench-run', 'bench-step', 'examined', 'fitted') ORDER BY e.overhaul_id, e.seq"
)


def released_injectors(store: Store, engine_id: int) -> tuple[ReleasedInjector, ...]:
    """The newest of that engine, the first to arrive first."""
    rows = store.rows(_RELEASED, (engine_id, NEWEST))
    if not rows:
        return ()
    told: dict[int, list[tuple[int, Content]]] = {row[0]: [] for row in rows}
    for overhaul_id, seq, payload in store.rows(_TOLD.format(", ".join("?" * len(told))), list(told)):
        told[overhaul_id].append((seq, content_from_json(payload)))
    return tuple(
        ReleasedInjector(
            number,
            serial,
            cylinder,
            stored_day(str(closed_at)[:10]),
            as_shipped(stored_sheet(sheet), told[overhaul_id]),
        )
        for overhaul_id, number, serial, cylinder, closed_at, sheet in reversed(rows)
    )
