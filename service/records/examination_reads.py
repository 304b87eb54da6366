"""Reads for the examination: instruments for a reading, and what was found on this injector before."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from service.records.board_reads import stored_day
from service.records.instrument_reads import CALIBRATION_IN_FORCE
from service.records.json_text import content_from_json
from service.records.store import Store
from service.workshop.entries import Examined
from service.workshop.vocabulary import InstrumentKind


@dataclass(frozen=True, slots=True)
class ListedInstrument:
    """An instrument of the right kind and unit; `overdue` where its calibration has run out."""

    code: str
    description: str
    expanded_uncertainty: str
    k: str
    unit: str
    due: date
    overdue: bool

    @property
    def uncertainty(self) -> str:
        """As it is offered, with its k unless that is 2; '' for an entry of 0: a microscope gives no measured value."""
        if not self.expanded_uncertainty.strip("0."):
            return ""
        k = "" if self.k == "2" else f" (k = {self.k})"
        return f"U = {self.expanded_uncertainty} {self.unit}{k}"


@dataclass(frozen=True, slots=True)
class EarlierFinding:
    """What an earlier overhaul found; `renewed` where a new part was fitted then."""

    overhaul: str
    at: datetime
    examined: Examined
    renewed: bool


def instruments_for(
    store: Store, kinds: Sequence[InstrumentKind], unit: str | None, on: date
) -> tuple[ListedInstrument, ...]:
    """Instruments in use with the calibration in force on that day, by code. No kinds: any kind; no unit: any unit."""
    conditions, params = ["i.state = 'in-use'"], [on.isoformat()]
    if kinds:
        conditions.append(f"i.kind IN ({', '.join('?' * len(kinds))})")
        params += [kind.value for kind in kinds]
    if unit is not None:
        conditions.append("i.unit = ?")
        params.append(unit)
    found = store.rows(
        "SELECT i.code, i.description, c.expanded_uncertainty, c.k, i.unit, c.due "  # noqa: S608 - fixed words only
        f"FROM instrument i JOIN calibration c ON c.id = ({CALIBRATION_IN_FORCE}) "
        f"WHERE {' AND '.join(conditions)} ORDER BY i.code",
        params,
    )
    return tuple(
        ListedInstrument(code, description, uncertainty, k, its_unit, stored_day(due), stored_day(due) < on)
        for code, description, uncertainty, k, its_unit, due in found
    )


def earlier_finding(
    store: Store, unit_id: int, before_overhaul: int, characteristic: str, items: Sequence[str]
) -> EarlierFinding | None:
    """The newest finding of an earlier overhaul of this unit, before or after rework.

    `items` are the keys (the part, its assembly) whose fitting renewed the part in that overhaul.
    """
    found = store.rows(
        "SELECT o.id, o.number, e.at, e.payload FROM overhaul o JOIN entry e ON e.overhaul_id = o.id "
        "WHERE o.unit_id = ? AND o.id < ? AND e.subject IN (?, ?) ORDER BY o.id DESC, e.seq DESC LIMIT 1",
        (unit_id, before_overhaul, f"examined:{characteristic}:found", f"examined:{characteristic}:after-rework"),
    )
    if not found:
        return None
    overhaul_id, number, at, payload = found[0]
    content = content_from_json(payload)
    if not isinstance(content, Examined):
        return None
    marks = ", ".join("?" * len(items))
    renewed = store.rows(
        f"SELECT 1 FROM entry WHERE overhaul_id = ? AND subject IN ({marks}) LIMIT 1",  # noqa: S608 - marks only
        (overhaul_id, *(f"fit:{item}" for item in items)),
    )
    return EarlierFinding(number, datetime.fromisoformat(at), content, bool(renewed))
