"""What was recorded with one instrument or fitted from one batch, with the injector, its vessel and its certificate."""

import json
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from itertools import chain
from typing import Any, NamedTuple

from service.records.store import Store


@dataclass(frozen=True, slots=True)
class RecalledInjector:
    """An overhaul with its injector; vessel and operator are those that the injector last came from.

    `shop_number` is the overhaul that the injector is in now, '' where it is not in the shop; `certificate` '' where
    none was issued.
    """

    number: str
    serial: str
    type_code: str
    stage: str
    sheet_id: int
    vessel: str
    imo_number: str
    operator_id: int
    operator: str
    condemned: bool
    shop_number: str
    certificate: str


class RecalledEntry(NamedTuple):  # made a hundred thousand times for one page: a frozen dataclass costs thrice as much
    """One entry as it was stored; `stands` is False where a later one took its place.

    `gauge_payload` is the run's own entry for a step on the rig. A reading judged again carries the newest verdict,
    with the moment and the person of the reading.
    """

    overhaul_id: int
    seq: int
    stored_at: str
    person: str
    title: str
    sentence: str
    kind: str
    verdict: str
    payload: str
    stands: bool
    gauge_payload: str

    @property
    def at(self) -> datetime:
        """When it was recorded, UTC."""
        return datetime.fromisoformat(self.stored_at)


_ENTRY = "e.overhaul_id, e.seq, e.at, e.person_name, e.title, e.sentence, e.kind, e.verdict, e.payload"
_MADE_WITH = (  # a step is also undone by a new run and by whatever opens the injector
    f"SELECT {_ENTRY}, NOT EXISTS (SELECT 1 FROM entry n WHERE n.overhaul_id = e.overhaul_id AND n.seq > e.seq "  # noqa: S608
    "AND (n.subject = e.subject OR e.kind = 'bench-step' AND (n.kind = 'bench-run' OR n.subject = 'opening'))), '' "
    "FROM entry_instrument x JOIN entry e ON e.id = x.entry_id "
    "WHERE x.instrument_id = ? AND e.kind <> 'bench-run' AND e.at >= ?"
)
_ON_THE_RIG = (  # a step belongs to the run that its subject names; the gauge was named at the start of the run
    f"SELECT {_ENTRY}, NOT EXISTS (SELECT 1 FROM entry n WHERE n.overhaul_id = e.overhaul_id AND n.seq > e.seq "  # noqa: S608
    "AND (n.subject = e.subject OR n.kind = 'bench-run' OR n.subject = 'opening')), r.payload "
    "FROM entry_instrument x JOIN entry r ON r.id = x.entry_id AND r.kind = 'bench-run' "
    "JOIN entry e ON e.overhaul_id = r.overhaul_id AND e.seq > r.seq AND e.kind = 'bench-step' "
    "AND e.subject LIKE 'bench:' || r.seq || ':%' "
    "WHERE x.instrument_id = ? AND e.at >= ?"
)
_FITTED = (
    f"SELECT {_ENTRY}, NOT EXISTS (SELECT 1 FROM entry n WHERE n.overhaul_id = e.overhaul_id AND n.seq > e.seq "  # noqa: S608
    "AND n.subject = e.subject), '' FROM fitted_batch x JOIN entry e ON e.id = x.entry_id WHERE x.batch_key = ?"
)
_INJECTORS = (
    "SELECT o.id, o.number, u.serial, t.code, o.stage, o.sheet_id, v.name, v.imo_number, p.id, p.name, u.condemned, "
    "COALESCE(s.number, ''), COALESCE(c.number, '') FROM overhaul o JOIN unit u ON u.id = o.unit_id "
    "JOIN injector_type t ON t.id = u.injector_type_id JOIN vessel v ON v.id = u.vessel_id "
    "JOIN operator p ON p.id = v.operator_id LEFT JOIN certificate c ON c.overhaul_id = o.id "
    "AND NOT EXISTS (SELECT 1 FROM certificate_end x WHERE x.certificate_id = c.id) "
    "LEFT JOIN overhaul s ON s.unit_id = u.id AND s.closed_at IS NULL WHERE o.id IN "
)
_OF_INSTRUMENT = "(SELECT e.overhaul_id FROM entry_instrument x JOIN entry e ON e.id = x.entry_id WHERE {})"
_OF_BATCH = "(SELECT e.overhaul_id FROM fitted_batch x JOIN entry e ON e.id = x.entry_id WHERE x.batch_key = ?)"


def entries_made_with(
    store: Store, instrument_id: int, since: date | None, until: date | None
) -> tuple[RecalledEntry, ...]:
    """Everything recorded with the instrument from one day to the other, both included; None is an open end.

    The steps of a run on the rig were made with the gauge of the run, and a back leakage with its own cylinder too.
    """
    given = (instrument_id, "" if since is None else since.isoformat())
    rows = chain.from_iterable(store.rows(sql, given) for sql in (_MADE_WITH, _ON_THE_RIG))
    readings = _readings(map(RecalledEntry._make, rows))
    if until is None:
        return tuple(readings)
    end = (until + timedelta(days=1)).isoformat()
    return tuple(one for one in readings if one.stored_at < end)


def injectors_measured_with(store: Store, instrument_id: int) -> dict[int, RecalledInjector]:
    """By the row of the overhaul: every one that the instrument was used on."""
    of_instrument = _OF_INSTRUMENT.format("x.instrument_id = ?")
    return _injectors(store, of_instrument, (instrument_id,))


def fitted_from_batch(store: Store, batch: str) -> tuple[RecalledEntry, ...]:
    """Every fitting with exactly that batch or serial, capitals or not."""
    return tuple(RecalledEntry(*row) for row in store.rows(_FITTED, (batch_key(batch),)))


def injectors_fitted_from(store: Store, batch: str) -> dict[int, RecalledInjector]:
    """By the row of the overhaul: every one that a part of the batch was fitted in."""
    return _injectors(store, _OF_BATCH, (batch_key(batch),))


def batch_key(batch: str) -> str:
    """The one spelling that batches and serials of parts are looked up by."""
    return " ".join(batch.split()).casefold()


def _injectors(store: Store, chosen: str, given: tuple[Any, ...]) -> dict[int, RecalledInjector]:
    rows = store.rows(_INJECTORS + chosen, given)
    return {number: _injector(columns) for number, *columns in rows}


def _injector(row: list[Any]) -> RecalledInjector:
    number, serial, type_code, stage, sheet, vessel, imo, operator_id, operator, condemned, shop_number, paper = row
    return RecalledInjector(
        number, serial, type_code, stage, sheet, vessel, imo, operator_id, operator, bool(condemned), shop_number, paper
    )


def _readings(found: Iterable[RecalledEntry]) -> list[RecalledEntry]:
    """Each reading once: what was judged again takes the place of the entry that it was judged from."""
    taken: list[RecalledEntry] = []
    judged: list[tuple[RecalledEntry, int]] = []
    for one in found:
        earlier = _judged_from(one.payload)
        if earlier is None:
            taken.append(one)
        else:
            judged.append((one, earlier))
    if not judged:
        return taken
    readings = {(one.overhaul_id, one.seq): one for one in taken}
    first_of: dict[tuple[int, int], tuple[int, int]] = {}
    for one, earlier in sorted(judged, key=lambda pair: pair[0].seq):
        before = one.overhaul_id, earlier
        origin = first_of[one.overhaul_id, one.seq] = first_of.get(before, before)
        if origin in readings:  # else the reading itself was taken before the first day asked for
            reading = readings[origin]
            readings[origin] = one._replace(seq=reading.seq, stored_at=reading.stored_at, person=reading.person)
    return list(readings.values())


def _judged_from(payload: str) -> int | None:
    # Spares a hundred thousand readings the parsing: within a text of the payload the quotation marks are escaped.
    if '"rejudged_from":' not in payload or '"rejudged_from":null' in payload:
        return None
    seq = json.loads(payload)["rejudged_from"]
    return None if seq is None else int(seq)
