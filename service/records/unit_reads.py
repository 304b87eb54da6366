"""What the unit's status page and the search read: plain SQL into small dataclasses, the same on both databases."""

from dataclasses import dataclass, field
from typing import Any

from service.records.store import Store

LONGEST_LIST = 20
_AFTER_EVERY_SIGN = "~"
"""Sorts after every sign that a serial number may hold."""


@dataclass(frozen=True, slots=True)
class Passage:
    """One overhaul of a unit, as stored; `closed_at` and the certificate '' without one, `reworked`: some part was."""

    overhaul_id: int
    number: str
    stage: str
    held: bool
    received_at: str
    due_on: str
    closed_at: str
    consignment: str
    vessel: str
    imo_number: str
    cylinder: str
    running_hours: int | None
    certificate: str
    reworked: bool


@dataclass(slots=True)
class UnitRow:
    """One injector as one person may see it, its newest overhaul first."""

    type_code: str
    type_name: str
    vessel: str
    imo_number: str
    passages: list[Passage] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class EntryLine:
    """One entry in the words that were stored with it. `payload` only for the start of a bench run."""

    seq: int
    kind: str
    subject: str
    title: str
    verdict: str
    sentence: str
    at: str
    payload: str


@dataclass(frozen=True, slots=True)
class FoundUnit:
    """One line of a search."""

    serial: str
    type_code: str
    vessel: str


_UNIT = (
    "SELECT t.code, t.name, n.name, n.imo_number, n.operator_id, v.operator_id, "
    "o.id, o.number, o.stage, o.held, c.received_at, c.due_on, o.closed_at, c.number, v.name, v.imo_number, "
    "o.cylinder, o.position, o.running_hours, k.number, "
    "EXISTS (SELECT 1 FROM entry r WHERE r.overhaul_id = o.id AND r.kind = 'reworked') "
    "FROM unit u JOIN injector_type t ON t.id = u.injector_type_id JOIN vessel n ON n.id = u.vessel_id "
    "LEFT JOIN overhaul o ON o.unit_id = u.id LEFT JOIN consignment c ON c.id = o.consignment_id "
    "LEFT JOIN vessel v ON v.id = c.vessel_id LEFT JOIN certificate k ON k.overhaul_id = o.id "
    "AND NOT EXISTS (SELECT 1 FROM certificate_end x WHERE x.certificate_id = k.id) WHERE u.serial = ?"
)
_ENTRIES = (
    "SELECT seq, kind, subject, title, verdict, sentence, at, CASE kind WHEN 'bench-run' THEN payload ELSE '' END "
    "FROM entry WHERE overhaul_id = ? ORDER BY seq"
)


def units_of_serial(store: Store, serial: str, operator_id: int | None) -> dict[str, UnitRow]:
    """The units with that serial by type code. `operator_id` bounds the sight to one fleet, None sees all.

    A fleet sees a unit that belongs to one of its vessels now, and of a unit's past what came from its own vessels.
    """
    units: dict[str, UnitRow] = {}
    rows = store.rows(_UNIT, (serial,))
    if len(rows) > 1:
        rows.sort(key=_newest_first)
    for row in rows:
        code, name, vessel, imo_number, now_of, then_of, overhaul_id = row[:7]
        came_from_own = overhaul_id is not None and (operator_id is None or then_of == operator_id)
        if not came_from_own and operator_id is not None and now_of != operator_id:
            continue
        unit = units.get(code)
        if unit is None:
            if operator_id is not None and now_of != operator_id:  # sold since: only the ship it came from is told
                vessel, imo_number = row[14], row[15]
            unit = units[code] = UnitRow(code, name, vessel, imo_number)
        if came_from_own:
            unit.passages.append(_passage(row))
    return units


def _newest_first(row: Any) -> int:
    return -(row[6] or 0)


def _passage(row: Any) -> Passage:
    position = row[17]
    return Passage(
        row[6],
        row[7],
        row[8],
        bool(row[9]),
        row[10],
        str(row[11]),
        row[12] or "",
        row[13],
        row[14],
        row[15],
        f"{row[16]} {position}" if position else str(row[16]),
        row[18],
        row[19] or "",
        bool(row[20]),
    )


def entry_lines(store: Store, overhaul_id: int) -> list[EntryLine]:
    """All entries of one overhaul, in order."""
    return [EntryLine(*row) for row in store.rows(_ENTRIES, (overhaul_id,))]


_ALL_FLEETS = (
    "SELECT u.serial, t.code, v.name FROM (SELECT serial, injector_type_id, vessel_id FROM unit "
    "WHERE serial >= ? AND serial < ? ORDER BY serial LIMIT ?) u JOIN injector_type t ON t.id = u.injector_type_id "
    "JOIN vessel v ON v.id = u.vessel_id ORDER BY u.serial, t.code"
)
# Each vessel gives its first few from the index (vessel_id, serial): a large fleet is never sorted as a whole.
_OWN_FLEET_SQLITE = (
    "SELECT u.serial, t.code, v.name FROM vessel v CROSS JOIN unit u JOIN injector_type t ON t.id = u.injector_type_id "
    "WHERE v.operator_id = ? AND u.id IN (SELECT w.id FROM unit w WHERE w.vessel_id = v.id "
    "AND w.serial >= ? AND w.serial < ? ORDER BY w.serial LIMIT ?) ORDER BY u.serial, t.code LIMIT ?"
)
_OWN_FLEET_POSTGRESQL = (
    "SELECT f.serial, t.code, v.name FROM vessel v CROSS JOIN LATERAL (SELECT w.serial, w.injector_type_id "
    "FROM unit w WHERE w.vessel_id = v.id AND w.serial >= ? AND w.serial < ? ORDER BY w.serial LIMIT ?) f "
    "JOIN injector_type t ON t.id = f.injector_type_id WHERE v.operator_id = ? ORDER BY f.serial, t.code LIMIT ?"
)


def units_beginning_with(store: Store, prefix: str, operator_id: int | None) -> list[FoundUnit]:
    """Units whose serial begins so, in the serial's order, at most one more than LONGEST_LIST."""
    most = LONGEST_LIST + 1
    bounds = (prefix, prefix + _AFTER_EVERY_SIGN)
    if operator_id is None:
        rows = store.rows(_ALL_FLEETS, (*bounds, most))
    elif store.is_sqlite:
        rows = store.rows(_OWN_FLEET_SQLITE, (operator_id, *bounds, most, most))
    else:
        rows = store.rows(_OWN_FLEET_POSTGRESQL, (*bounds, most, operator_id, most))
    return [FoundUnit(*row) for row in rows]
