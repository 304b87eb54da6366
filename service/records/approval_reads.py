"""The overhauls that may wait for a ship's office, as records for the rules: three statements in all."""

from collections import defaultdict
from dataclasses import dataclass

from sqlmodel import Session, col, exists, select

from service.records.json_text import content_from_json
from service.records.sheet_file import stored_sheet
from service.records.tables import Consignment, EntryRow, InjectorType, Overhaul, SheetRevision, Unit, Vessel
from service.workshop.entries import Entry, PartSettled
from service.workshop.limit_sheet import LimitSheet
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import Disposition, Stage

_ASKING = (Stage.STRIPPED.value, Stage.EXAMINED.value)


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
    found = session.exec(
        select(Overhaul, Unit.serial, InjectorType.code, Vessel.name, Consignment.standing_order)  # type: ignore[call-overload]
        .join(Consignment, col(Consignment.id) == Overhaul.consignment_id)
        .join(Vessel, col(Vessel.id) == Consignment.vessel_id)
        .join(Unit, col(Unit.id) == Overhaul.unit_id)
        .join(InjectorType, col(InjectorType.id) == Unit.injector_type_id)
        .where(
            Vessel.operator_id == operator_id,
            col(Overhaul.closed_at).is_(None),
            col(Overhaul.stage).in_(_ASKING),
            exists().where(col(EntryRow.overhaul_id) == Overhaul.id, col(EntryRow.kind) == PartSettled.kind),
        )
        .order_by(col(Overhaul.id))
    ).all()
    if not found:
        return ()
    sheets = _sheets(session, {row.sheet_id for row, *_ in found})
    entries = _entries(session, [row.id for row, *_ in found])
    return tuple(
        AskingOverhaul(
            number=row.number,
            serial=serial,
            type_code=code,
            vessel=vessel,
            record=OverhaulRecord(
                sheet=sheets[row.sheet_id],
                standing_order=frozenset(Disposition(word) for word in order.split()),
                entries=tuple(entries[row.id]),
            ),
        )
        for row, serial, code, vessel, order in found
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
