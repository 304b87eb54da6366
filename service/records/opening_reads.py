"""The opening pressures of one injector over its overhauls, out of the entries stored."""

from collections.abc import Sequence

from service.records.json_text import content_from_json
from service.records.store import Store
from service.records.unit_reads import Passage
from service.workshop.entries import Content
from service.workshop.opening_history import OpeningVisit, opening_visit

_RUNS = (
    "SELECT e.overhaul_id, e.seq, e.payload FROM entry e WHERE e.overhaul_id IN ({}) "
    "AND (e.kind = 'bench-run' OR (e.kind = 'bench-step' AND e.payload LIKE '%\"kind\":\"opening-pressure\"%')) "
    "ORDER BY e.overhaul_id, e.seq"
)


def opening_visits(store: Store, passages: Sequence[Passage]) -> tuple[OpeningVisit, ...]:
    """One for each overhaul, the oldest first, by a single statement."""
    in_order = sorted(passages, key=lambda passage: passage.overhaul_id)
    told: dict[int, list[tuple[int, Content]]] = {passage.overhaul_id: [] for passage in in_order}
    for overhaul_id, seq, payload in store.rows(_RUNS.format(", ".join("?" * len(told))), list(told)):
        told[overhaul_id].append((seq, content_from_json(payload)))
    return tuple(
        opening_visit(passage.overhaul_id, passage.running_hours, told[passage.overhaul_id]) for passage in in_order
    )
