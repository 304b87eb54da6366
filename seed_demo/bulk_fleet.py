"""Where the bulk units come from: the operators there are, more invented ones, and many invented vessels."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlmodel import Session, col, select

from service.actions.shop import NotFound
from service.records.calibration_store import calibrations_of
from service.records.journal import append_journal
from service.records.sheet_file import stored_sheet
from service.records.store import Store
from service.records.tables import Engine, Instrument, Operator, Person, SheetRevision, Vessel
from service.workshop.calibration import InstrumentState, in_force
from service.workshop.imo_number import expected_check_digit
from service.workshop.limit_sheet import LimitSheet
from service.workshop.measurements import InstrumentUse
from service.workshop.vocabulary import InstrumentKind, Role, SheetState

_FIRST_SIX = 960_000
_OPERATORS = 12
IN_USE = InstrumentState.IN_USE.value


@dataclass(frozen=True)
class Berth:
    """A vessel with the engine that its bulk units come from."""

    vessel_id: int
    engine_id: int


@dataclass(frozen=True)
class BulkInstrument:
    """An instrument in use, as a bulk reading names it: the record is shortened, so it quotes no calibration."""

    id: int
    use: InstrumentUse


@dataclass(frozen=True)
class BulkFleet:
    """Everything that a bulk unit refers to."""

    berths: tuple[Berth, ...]
    injector_type_id: int
    sheet_id: int
    sheet: LimitSheet
    people: tuple[tuple[int, str], ...]
    instruments: tuple[BulkInstrument, ...]


def lay_fleet(store: Store, *, vessels: int, at: datetime) -> BulkFleet:
    """Vessels in turn under every operator; those of an earlier load are used again.

    Raises NotFound where no limit sheet is approved or nobody works at the bench.
    """
    with store.change() as session:
        sheet = session.exec(
            select(SheetRevision)
            .where(SheetRevision.state == SheetState.APPROVED.value)
            .order_by(col(SheetRevision.injector_type_id))
        ).first()
        people = session.exec(select(Person).where(col(Person.role) == Role.TECHNICIAN.value).order_by(col(Person.id)))
        signatures = tuple((person.id or 0, person.name) for person in people)
        if sheet is None or not signatures:
            raise NotFound("bulk", "Bulk units need an approved limit sheet and a technician: seed the demo first.")
        operators = _operators(session)
        berths = tuple(
            _berth(session, operators[number % len(operators)], number, sheet.injector_type_id)
            for number in range(vessels)
        )
        append_journal(
            session,
            at=at,
            person=signatures[0],
            action="bulk-fleet",
            subject=("vessel", f"{_FIRST_SIX}+"),
            after={"vessels": vessels},
        )
        instruments = _instruments(session, at.date())
    content = stored_sheet(sheet.content)
    return BulkFleet(berths, sheet.injector_type_id, sheet.id or 0, content, signatures, instruments)


def _instruments(session: Session, on: date) -> tuple[BulkInstrument, ...]:
    """Those of the register with a calibration, by code."""
    rows = session.exec(select(Instrument).where(Instrument.state == IN_USE).order_by(col(Instrument.code))).all()
    found = []
    for row in rows:
        calibration = in_force(calibrations_of(session, row.id or 0), on)
        if calibration is not None:
            use = InstrumentUse(
                code=row.code,
                kind=InstrumentKind(row.kind),
                expanded_uncertainty=calibration.expanded_uncertainty,
                unit=row.unit,
                calibration="none: bulk data",
                due=on + timedelta(days=365),
                k=calibration.k,
            )
            found.append(BulkInstrument(row.id or 0, use))
    return tuple(found)


def _operators(session: Session) -> list[int]:
    known = {row.name: row.id or 0 for row in session.exec(select(Operator).order_by(col(Operator.id)))}
    for number in range(1, _OPERATORS + 1):
        name = f"Bulk fleet {number:02d} (invented)"
        if name not in known:
            row = Operator(name=name, contact="", standing_order="rework replace")
            session.add(row)
            session.flush()
            known[name] = row.id or 0
    return list(known.values())


def _berth(session: Session, operator_id: int, number: int, injector_type_id: int) -> Berth:
    first_six = str(_FIRST_SIX + number)
    imo = f"{first_six}{expected_check_digit(first_six)}"
    vessel = session.exec(select(Vessel).where(Vessel.imo_number == imo)).first()
    if vessel is None:
        vessel = Vessel(operator_id=operator_id, name=f"Bulk {number:05d} (invented)", imo_number=imo)
        session.add(vessel)
        session.flush()
    engine = session.exec(select(Engine).where(Engine.vessel_id == vessel.id)).first()
    if engine is None:
        engine = Engine(
            vessel_id=vessel.id or 0,
            designation="Main engine, 6 cylinders",
            cylinders=6,
            injectors_per_cylinder=2,
            injector_type_id=injector_type_id,
        )
        session.add(engine)
        session.flush()
    return Berth(vessel.id or 0, engine.id or 0)
