"""The overhauls that may wait for a ship's office, as records for the rules: three statements in all."""

from collections import defaultdict
from dataclasses import dataclass

from sqlalchemy import text
from sqlmodel import Session, col, select

from service.records.json_text import content_from_json
from service.records.sheet_file import stored_sheet
from service.records.tables import EntryRow, SheetRevision
from service.workshop.entries import Entry
from service.workshop.limit_sheet import LimitSheet
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import Disposition

# CROSS JOIN keeps the order of the tables: from the fleet's vessels to what is open of them, never through all units.
_ASKING = text(
    "SELECT o.id, o.number, o.sheet_id, u.serial, t.code, v.name, c.standing_order "
    "FROM vessel v CROSS JOIN consignment c CROSS JOIN overhaul o CROSS JOIN unit u CROSS JOIN injector_type t "
    "WHERE v.operator_id = :operator AND c.vessel_id = v.id AND o.consignment_id = c.id AND o.closed_at IS NULL "
    "AND o.stage IN ('stripped', 'examined') AND u.id = o.unit_id AND t.id = u.injector_type_id "
    "AND EXISTS (SELECT 1 FROM entry e WHERE e.overhaul_id = o.id AND e.kind = 'settled') ORDER BY o.id"
)


@dataclass(frozen=True)
class AskingOverhaul:
    """One open overhaul with settled parts, and its record."""

    number: str
    serial: str
    type_code: str
    vessel: str
    record: OverhaulRecord


def asking_overhauls(session: Session, operator_id: int) -> tuple[AskingOverhaul, ...]:
    """The operator's open overhauls where a part is settled and the work is not yet agreed, oldest first."""
    found = session.connection().execute(_ASKING, {"operator": operator_id}).all()
    if not found:
        return ()
    sheets = _sheets(session, {row.sheet_id for row in found})
    entries = _entries(session, [row.id for row in found])
    return tuple(
        AskingOverhaul(
            number=row.number,
            serial=row.serial,
            type_code=row.code,
            vessel=row.name,
            record=OverhaulRecord(
                sheet=sheets[row.sheet_id],
                standing_order=frozenset(Disposition(word) for word in row.standing_order.split()),
                entries=tuple(entries[row.id]),
            ),
        )
        for row in found
    )


def _sheets(session: Session, ids: set[int]) -> dict[int, LimitSheet]:
    rows = session.exec(select(SheetRevision.id, SheetRevision.content).where(col(SheetRevision.id).in_(ids)))
    return {sheet_id or 0: stored_sheet(content) for sheet_id, content in rows}


def _entries(session: Session, overhaul_ids: list[int]) -> dict[int, list[Entry]]:
    entries: dict[int, list[Entry]] = defaultdict(list)
    rows = session.exec(
        select(EntryRow.overhaul_id, EntryRow.seq, EntryRow.at, EntryRow.person_name, EntryRow.payload)  # type: ignore[call-overload]
        .where(col(EntryRow.overhaul_id).in_(overhaul_ids))
        .order_by(EntryRow.overhaul_id, EntryRow.seq)
    )
    for overhaul_id, seq, at, person, payload in rows:
        entries[overhaul_id].append(Entry(seq=seq, at=at, person=person, content=content_from_json(payload)))
    return entries
