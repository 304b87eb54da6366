"""The records of the overhauls against the journal: each entry is as the journal, whose chain holds, tells of it."""

import hashlib
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from service.records.store import Store

_BATCH = 2_000
# The number of the entry stands in the JSON of the row; whatever is no object has none.
_ENTRY_ON_SQLITE = "json_extract(j.after, '$.entry')"
_ENTRY_ON_POSTGRESQL = "CAST(CAST(j.after AS json) ->> 'entry' AS integer)"
_COUNT = "SELECT count(*) FROM journal WHERE subject_kind = 'overhaul' AND after LIKE '%\"entry\":%'"
_TOLD = (
    "SELECT j.id, j.subject_id, j.at, j.person_name, j.after, e.at, e.person_name, e.title, e.sentence, e.payload "
    "FROM journal j LEFT JOIN overhaul o ON o.number = j.subject_id LEFT JOIN entry e ON e.overhaul_id = o.id "
    "AND e.seq = CASE WHEN j.after LIKE '{%' THEN ENTRY END "
    "WHERE j.subject_kind = 'overhaul' AND j.after LIKE '%\"entry\":%' ORDER BY j.id"
)


@dataclass(frozen=True)
class RecordsReport:
    """How many entries were compared, and what is said of the first that is not as it was recorded; '' for none."""

    records: int
    fault: str


def count_told(store: Store) -> int:
    """How many rows of the journal tell of an entry."""
    return int(store.rows(_COUNT)[0][0])


def check_records(store: Store, progress: Callable[[int], None] = lambda rows: None) -> RecordsReport:
    """Compare every entry that the journal tells of, to the first that differs or is gone.

    Worth something only where the chain holds. What was loaded in bulk for scale tests has no row of its own.
    """
    compared = 0
    entry = _ENTRY_ON_SQLITE if store.is_sqlite else _ENTRY_ON_POSTGRESQL
    for batch in store.batches(_TOLD.replace("ENTRY", entry), _BATCH):
        for row in batch:
            fault = _fault(row)
            if fault:
                return RecordsReport(compared, fault)
            compared += 1
        progress(len(batch))
    return RecordsReport(compared, "")


def payload_hash(payload: str) -> str:
    """How the journal holds an entry's content: SHA-256 of its stored text."""
    return hashlib.sha256(payload.encode()).hexdigest()


def _fault(row: Sequence[Any]) -> str:
    row_id, number, at, person, after, entry_at, entry_person, title, sentence, payload = row
    told = json.loads(after)
    which = f"Record {told.get('entry')} of overhaul {number}"
    if payload is None:
        return f"{which} is gone, of which row {row_id} of the journal tells."
    if (entry_at, entry_person, title, sentence) != (at, person, told.get("title"), told.get("sentence")):
        return f"{which} is not what row {row_id} of the journal tells of it."
    # Rows from before this was noted tell only the words.
    if "content_sha256" in told and payload_hash(payload) != told["content_sha256"]:
        return f"{which} holds other values than those that row {row_id} of the journal was written with."
    return ""
