"""Looking up instruments, people, vessels, engines, types and sheets for the actions."""

from sqlmodel import Session, col, select

from service.records.tables import Engine, InjectorType, Instrument, Operator, SheetRevision, Unit, Vessel
from service.workshop.vocabulary import SheetState


def instrument_by_code(session: Session, code: str, *, lock: bool = False) -> Instrument | None:
    """The instrument with that code, whatever its state. `lock` keeps other writers out until the commit."""
    statement = select(Instrument).where(Instrument.code == code)
    return session.exec(statement.with_for_update() if lock else statement).first()


def is_condemned(session: Session, serial: str, injector_type_id: int) -> bool:
    """Whether an injector of that type and serial was condemned, however the serial is spelled."""
    spelled = " ".join(serial.upper().split())
    statement = select(Unit.condemned).where(Unit.serial == spelled, Unit.injector_type_id == injector_type_id)
    return bool(session.exec(statement).first())


def approved_sheet(session: Session, injector_type_id: int) -> SheetRevision | None:
    """The approved revision in force for a type."""
    return session.exec(
        select(SheetRevision).where(
            SheetRevision.injector_type_id == injector_type_id, SheetRevision.state == SheetState.APPROVED.value
        )
    ).first()


def draft_sheet(session: Session, injector_type_id: int) -> SheetRevision | None:
    """The draft of a type; there is at most one."""
    return session.exec(
        select(SheetRevision).where(
            SheetRevision.injector_type_id == injector_type_id, SheetRevision.state == SheetState.DRAFT.value
        )
    ).first()


def newest_revision(session: Session, injector_type_id: int) -> int:
    """The highest revision number of a type, 0 without any."""
    statement = (
        select(SheetRevision.revision)
        .where(SheetRevision.injector_type_id == injector_type_id)
        .order_by(col(SheetRevision.revision).desc())
    )
    return session.exec(statement).first() or 0


def type_by_code(session: Session, code: str, *, lock: bool = False) -> InjectorType | None:
    """The injector type with that code. `lock` keeps other writers of its sheets out until the commit."""
    statement = select(InjectorType).where(InjectorType.code == code)
    return session.exec(statement.with_for_update() if lock else statement).first()


def vessel_by_imo(session: Session, imo_number: str) -> Vessel | None:
    """The vessel with that IMO number."""
    return session.exec(select(Vessel).where(Vessel.imo_number == imo_number)).first()


def operator_by_name(session: Session, name: str) -> Operator | None:
    """The operator with that name."""
    return session.exec(select(Operator).where(Operator.name == name)).first()


def engine_of(session: Session, vessel_id: int, engine_id: int) -> Engine | None:
    """That engine if it stands on that vessel."""
    return session.exec(select(Engine).where(Engine.id == engine_id, Engine.vessel_id == vessel_id)).first()
