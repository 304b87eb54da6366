"""The workshop's own adjustments on one injector type, out of the entries stored."""

from itertools import groupby
from operator import itemgetter

from service.hydraulics.adjustment_slope import MOST_ADJUSTMENTS, Adjustment
from service.records.json_text import content_from_json
from service.records.store import Store
from service.workshop.own_adjustments import adjustments_in

_ADJUSTED = (
    "SELECT DISTINCT e.overhaul_id FROM entry e JOIN overhaul o ON o.id = e.overhaul_id "
    "JOIN unit u ON u.id = o.unit_id "
    "WHERE e.kind = 'discs-changed' AND u.injector_type_id = ? ORDER BY e.overhaul_id DESC LIMIT ?"
)
_TOLD = (
    "SELECT e.overhaul_id, e.seq, e.payload FROM entry e WHERE e.overhaul_id IN ({}) "
    "AND e.kind IN ('discs-changed', 'bench-run', 'bench-step', 'fitted', 'reworked') ORDER BY e.overhaul_id, e.seq"
)


def own_adjustments(store: Store, injector_type_id: int) -> tuple[Adjustment, ...]:
    """What changes of discs did to the opening pressure of injectors of that type, the newest overhauls last."""
    numbers = [row[0] for row in store.rows(_ADJUSTED, (injector_type_id, MOST_ADJUSTMENTS))]
    if not numbers:
        return ()
    rows = store.rows(_TOLD.format(", ".join("?" * len(numbers))), numbers)
    return tuple(
        one
        for _, told in groupby(rows, key=itemgetter(0))
        for one in adjustments_in((seq, content_from_json(payload)) for _, seq, payload in told)
    )
