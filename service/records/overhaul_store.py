"""An overhaul from its rows to a domain value, and new entries back to rows."""

from dataclasses import dataclass, replace
from datetime import datetime

import sqlalchemy
from sqlmodel import Session, col, select

from service.metrology.errors import DomainError
from service.records.json_text import content_from_json, content_to_json
from service.records.recall_reads import batch_key
from service.records.sheet_file import stored_sheet
from service.records.tables import (
    Consignment,
    EntryInstrument,
    EntryRow,
    FittedBatch,
    InjectorType,
    Instrument,
    Operator,
    Overhaul,
    SheetRevision,
    Unit,
    Vessel,
)
from service.workshop.entries import CertificateWithdrawn, Content, Entry, PartFitted
from service.workshop.narration import instruments_of, narrate
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.stages import stage_of
from service.workshop.vocabulary import Disposition


@dataclass(frozen=True)
class LoadedOverhaul:
    """An overhaul with all that surrounds it, and its record as the rules want it."""

    row: Overhaul
    unit: Unit
    injector_type: InjectorType
    sheet: SheetRevision
    consignment: Consignment
    vessel: Vessel
    operator: Operator
    record: OverhaulRecord


def load_overhaul(session: Session, number: str, *, lock: bool = False) -> LoadedOverhaul | None:
    """The overhaul with that number, None for an unknown one. `lock` keeps other writers out until the commit."""
    if lock and session.get_bind().dialect.name != "sqlite":  # there the immediate transaction has locked already
        session.exec(select(Overhaul.id).where(Overhaul.number == number).with_for_update()).first()
    # More than four tables at once are beyond the typed `select` of SQLModel.
    found = session.execute(
        sqlalchemy.select(Overhaul, Unit, InjectorType, SheetRevision, Consignment, Vessel, Operator)
        .join(Unit, col(Unit.id) == Overhaul.unit_id)
        .join(InjectorType, col(InjectorType.id) == Unit.injector_type_id)
        .join(SheetRevision, col(SheetRevision.id) == Overhaul.sheet_id)
        .join(Consignment, col(Consignment.id) == Overhaul.consignment_id)
        .join(Vessel, col(Vessel.id) == Consignment.vessel_id)
        .join(Operator, col(Operator.id) == Vessel.operator_id)
        .where(col(Overhaul.number) == number)
    ).first()
    if found is None:
        return None
    row, unit, injector_type, sheet, consignment, vessel, operator = found
    record = OverhaulRecord(
        sheet=stored_sheet(sheet.content),
        standing_order=frozenset(Disposition(word) for word in consignment.standing_order.split()),
        entries=_entries(session, row),
    )
    return LoadedOverhaul(row, unit, injector_type, sheet, consignment, vessel, operator, record)


def _entries(session: Session, row: Overhaul) -> tuple[Entry, ...]:
    rows = session.exec(
        select(EntryRow.seq, EntryRow.at, EntryRow.person_name, EntryRow.payload)
        .where(EntryRow.overhaul_id == row.id)
        .order_by(col(EntryRow.seq))
    )
    return tuple(
        Entry(seq=seq, at=at, person=person, content=content_from_json(payload)) for seq, at, person, payload in rows
    )


class FormUsedElsewhere(DomainError):
    """A form's key that has made an entry on another injector."""


def entry_seq_of_form(session: Session, overhaul: Overhaul, form_key: str) -> int | None:
    """The sequence of the entry that a form has already made on the overhaul, None if it made none.

    Raises FormUsedElsewhere where the entry was made on another overhaul.
    """
    made = session.exec(select(EntryRow.overhaul_id, EntryRow.seq).where(EntryRow.form_key == form_key)).first()
    if made is None:
        return None
    if made[0] != overhaul.id:
        raise FormUsedElsewhere("form-key", "This form was used on another injector: open the page again.", "form_key")
    return made[1]


def append_entry(
    session: Session,
    loaded: LoadedOverhaul,
    content: Content,
    *,
    at: datetime,
    person: tuple[int, str],
    form_key: str,
) -> LoadedOverhaul:
    """Append one entry and bring the overhaul's stage, hold and closing up to date."""
    record = loaded.record
    words = narrate(content, record.sheet)
    seq = loaded.row.last_seq + 1
    entry = EntryRow(
        overhaul_id=loaded.row.id or 0,
        seq=seq,
        kind=content.kind,
        subject=words.subject,
        title=words.title,
        verdict=words.verdict,
        sentence=words.sentence,
        at=at,
        person_id=person[0],
        person_name=person[1],
        payload=content_to_json(content),
        form_key=form_key,
    )
    session.add(entry)
    session.flush()
    codes = [use.code for use in instruments_of(content)]
    for instrument_id in session.exec(select(Instrument.id).where(col(Instrument.code).in_(codes))) if codes else ():
        session.add(EntryInstrument(entry_id=entry.id or 0, instrument_id=instrument_id or 0))
    if isinstance(content, PartFitted):
        session.add(FittedBatch(entry_id=entry.id or 0, batch_key=batch_key(content.batch)))
    added = Entry(seq=seq, at=at, person=person[1], content=content)
    grown = replace(record, entries=(*record.entries, added))
    stage = stage_of(grown)
    loaded.row.last_seq = seq
    loaded.row.stage = stage.value
    loaded.row.held = grown.held is not None
    if stage.is_exit:
        loaded.row.closed_at = at
    elif isinstance(content, CertificateWithdrawn):
        loaded.row.closed_at = None
    session.add(loaded.row)
    session.flush()
    return replace(loaded, record=grown)


def open_overhaul_number(session: Session, serial: str, injector_type_id: int) -> str | None:
    """Number of the overhaul that this serial is open in, None where it is not in the shop."""
    statement = (
        select(Overhaul.number)
        .join(Unit, col(Unit.id) == Overhaul.unit_id)
        .where(Unit.serial == serial, Unit.injector_type_id == injector_type_id, col(Overhaul.closed_at).is_(None))
    )
    return session.exec(statement).first()
