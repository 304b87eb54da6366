"""The opening pressures of one injector over its overhauls, out of the entries stored."""

from collections.abc import Sequence

from service.records.json_text import content_from_json
from service.records.sheet_file import stored_sheet
from service.records.store import Store
from service.records.unit_reads import Passage
from service.workshop.entries import Content
from service.workshop.limit_sheet import LimitSheet
from service.workshop.opening_history import OpeningVisit, opening_visit
from service.workshop.vocabulary import SheetState

_RUNS = (
    "SELECT e.overhaul_id, e.seq, e.payload FROM entry e WHERE e.overhaul_id IN ({}) "
    "AND (e.kind = 'bench-run' OR (e.kind = 'bench-step' AND e.payload LIKE '%\"kind\":\"opening-pressure\"%')) "
    "ORDER BY e.overhaul_id, e.seq"
)

_IN_FORCE = (
    "SELECT s.content FROM sheet_revision s JOIN injector_type t ON t.id = s.injector_type_id "
    "WHERE t.code = ? AND s.state = ?"
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


def sheet_in_force(store: Store, type_code: str) -> LimitSheet | None:
    """The approved limit sheet of a type: what its next overhaul goes by."""
    rows = store.rows(_IN_FORCE, (type_code, SheetState.APPROVED.value))
    return stored_sheet(rows[0][0]) if rows else None
