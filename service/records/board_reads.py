"""Reads of the board: what is where in the shop, straight from SQL to small dataclasses."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from service.records.store import Store

_OPEN_FROM = (
    "FROM overhaul o JOIN unit u ON u.id = o.unit_id JOIN injector_type t ON t.id = u.injector_type_id "
    "JOIN consignment c ON c.id = o.consignment_id JOIN vessel v ON v.id = c.vessel_id "
)
_CARD = "o.number, u.serial, t.code, v.name, o.stage, o.held, o.opened_at, c.due_on"


@dataclass(frozen=True, slots=True)
class Wanted:
    """What of the shop is asked for; '' and False ask for everything.

    `text` is looked for in serial, overhaul, consignment, type and vessel; `late_before` keeps what was due earlier.
    """

    text: str = ""
    imo_number: str = ""
    stage: str = ""
    held: bool = False
    late_before: date | None = None


@dataclass(frozen=True, slots=True)
class CardRow:
    """One open overhaul as the board shows it."""

    number: str
    serial: str
    injector_type: str
    vessel: str
    stage: str
    held: bool
    opened_at: datetime
    due_on: date


@dataclass(frozen=True, slots=True)
class ColumnCount:
    """How many are in one stage, how many of them late, how many held."""

    count: int
    late: int
    held: int


@dataclass(frozen=True, slots=True)
class ClosedRow:
    """An overhaul that is over."""

    number: str
    serial: str
    injector_type: str
    vessel: str
    stage: str
    closed_at: datetime


@dataclass(frozen=True, slots=True)
class VesselRow:
    """A vessel with something in the shop."""

    imo_number: str
    name: str
    count: int


def board_cards(store: Store, wanted: Wanted, *, per_stage: int, skip: int = 0) -> tuple[CardRow, ...]:
    """The most pressing of each stage: what is due first, then what has been here longest."""
    where, params = _where(wanted)
    found = store.rows(
        f"SELECT number, serial, code, name, stage, held, opened_at, due_on FROM (SELECT {_CARD}, "  # noqa: S608
        "ROW_NUMBER() OVER (PARTITION BY o.stage ORDER BY c.due_on, o.opened_at, o.id) AS place "
        f"{_OPEN_FROM} WHERE {where}) ranked WHERE place > ? AND place <= ? ORDER BY place",
        (*params, skip, skip + per_stage),
    )
    return tuple(_card(row) for row in found)


def board_counts(store: Store, wanted: Wanted, today: date) -> dict[str, ColumnCount]:
    """How many stand in each stage; a stage without any is not named."""
    where, params = _where(wanted)
    found = store.rows(
        "SELECT o.stage, COUNT(*), SUM(CASE WHEN c.due_on < ? THEN 1 ELSE 0 END), "
        f"SUM(CASE WHEN o.held THEN 1 ELSE 0 END) {_OPEN_FROM} WHERE {where} GROUP BY o.stage",
        (today.isoformat(), *params),
    )
    return {stage: ColumnCount(count, late, held) for stage, count, late, held in found}


def recently_closed(store: Store, limit: int) -> tuple[ClosedRow, ...]:
    """The overhauls that ended last, newest first."""
    found = store.rows(
        f"SELECT o.number, u.serial, t.code, v.name, o.stage, o.closed_at {_OPEN_FROM} "
        "WHERE o.closed_at IS NOT NULL ORDER BY o.closed_at DESC, o.id DESC LIMIT ?",
        (limit,),
    )
    return tuple(
        ClosedRow(number, serial, code, vessel, stage, datetime.fromisoformat(closed_at))
        for number, serial, code, vessel, stage, closed_at in found
    )


def vessels_in_shop(store: Store) -> tuple[VesselRow, ...]:
    """Vessels with open overhauls, by name."""
    found = store.rows(
        f"SELECT v.imo_number, v.name, COUNT(*) {_OPEN_FROM} WHERE o.closed_at IS NULL "
        "GROUP BY v.imo_number, v.name ORDER BY v.name, v.imo_number"
    )
    return tuple(VesselRow(*row) for row in found)


def _where(wanted: Wanted) -> tuple[str, list[Any]]:
    """Conditions with `?` and their values; what was typed never becomes part of the SQL."""
    parts, params = ["o.closed_at IS NULL"], list[Any]()
    if wanted.text:
        spelled = wanted.text.upper().replace("!", "!!").replace("%", "!%").replace("_", "!_")
        columns = ("u.serial", "o.number", "c.number", "t.code", "v.name")
        parts.append("(" + " OR ".join(f"UPPER({column}) LIKE ? ESCAPE '!'" for column in columns) + ")")
        params += [f"%{spelled}%"] * len(columns)
    for column, value in (("v.imo_number", wanted.imo_number), ("o.stage", wanted.stage)):
        if value:
            parts.append(f"{column} = ?")
            params.append(value)
    if wanted.held:
        parts.append("o.held")
    if wanted.late_before is not None:
        parts.append("c.due_on < ?")
        params.append(wanted.late_before.isoformat())
    return " AND ".join(parts), params


def _card(row: Any) -> CardRow:
    number, serial, code, vessel, stage, held, opened_at, due_on = row
    opened = datetime.fromisoformat(opened_at)
    return CardRow(number, serial, code, vessel, stage, bool(held), opened, stored_day(due_on))


def stored_day(value: date | str) -> date:
    """A date as the driver gives it: text from SQLite, a date from PostgreSQL."""
    return value if isinstance(value, date) else date.fromisoformat(value)
