"""Reading the registers for their pages: rows as small dataclasses, a fixed number of queries for a whole list."""

from dataclasses import dataclass

from sqlmodel import Session, col, select

from service.records.tables import Engine, InjectorType, Operator, Person, SheetRevision, Vessel
from service.workshop.vocabulary import Disposition, Role, SheetState


@dataclass(frozen=True)
class EngineLine:
    """An engine on board."""

    id: int
    vessel_id: int
    designation: str
    cylinders: int
    injectors_per_cylinder: int
    type_id: int
    type_code: str
    version: int


@dataclass(frozen=True)
class VesselLine:
    """A ship with its engines."""

    id: int
    operator_id: int
    name: str
    imo_number: str
    version: int
    engines: tuple[EngineLine, ...]


@dataclass(frozen=True)
class OperatorLine:
    """An operator with its fleet."""

    id: int
    name: str
    contact: str
    standing_order: tuple[Disposition, ...]
    version: int
    vessels: tuple[VesselLine, ...]


@dataclass(frozen=True)
class TypeLine:
    """An injector type and where its limit sheet stands; None is none."""

    id: int
    code: str
    name: str
    version: int
    in_force: int | None
    draft: int | None


@dataclass(frozen=True)
class PersonLine:
    """Somebody who may sign in; `operator` is '' for the workshop's own people."""

    id: int
    login: str
    name: str
    role: Role
    operator: str
    active: bool
    version: int


def fleets(session: Session) -> tuple[OperatorLine, ...]:
    """All operators by name, each with its vessels and their engines."""
    engines: dict[int, list[EngineLine]] = {}
    for engine, code in session.exec(
        select(Engine, InjectorType.code).join(InjectorType).order_by(Engine.designation, col(Engine.id))
    ):
        engines.setdefault(engine.vessel_id, []).append(_engine(engine, code))
    vessels: dict[int, list[VesselLine]] = {}
    for vessel in session.exec(select(Vessel).order_by(Vessel.name, Vessel.imo_number)):
        line = _vessel(vessel, tuple(engines.get(vessel.id or 0, ())))
        vessels.setdefault(vessel.operator_id, []).append(line)
    return tuple(
        _operator(row, tuple(vessels.get(row.id or 0, ())))
        for row in session.exec(select(Operator).order_by(Operator.name))
    )


def operator_names(session: Session) -> tuple[tuple[int, str], ...]:
    """Operators to choose from, by name."""
    return tuple((row.id or 0, row.name) for row in session.exec(select(Operator).order_by(Operator.name)))


def operator_line(session: Session, operator_id: int) -> OperatorLine | None:
    """One operator without its vessels."""
    row = session.get(Operator, operator_id)
    return None if row is None else _operator(row, ())


def vessel_line(session: Session, vessel_id: int) -> VesselLine | None:
    """One vessel without its engines."""
    row = session.get(Vessel, vessel_id)
    return None if row is None else _vessel(row, ())


def engine_line(session: Session, engine_id: int) -> EngineLine | None:
    """One engine."""
    found = session.exec(select(Engine, InjectorType.code).join(InjectorType).where(Engine.id == engine_id)).first()
    return None if found is None else _engine(*found)


def injector_types(session: Session) -> tuple[TypeLine, ...]:
    """All injector types by code."""
    revisions = session.exec(
        select(SheetRevision.injector_type_id, SheetRevision.state, SheetRevision.revision).where(
            SheetRevision.state != SheetState.SUPERSEDED.value
        )
    )
    newest = {(type_id, state): revision for type_id, state, revision in revisions}
    return tuple(
        TypeLine(
            id=row.id or 0,
            code=row.code,
            name=row.name,
            version=row.version,
            in_force=newest.get((row.id or 0, SheetState.APPROVED.value)),
            draft=newest.get((row.id or 0, SheetState.DRAFT.value)),
        )
        for row in session.exec(select(InjectorType).order_by(InjectorType.code))
    )


def person_line(session: Session, person_id: int) -> PersonLine | None:
    """One of the people."""
    return next((line for line in people(session) if line.id == person_id), None)


def people(session: Session) -> tuple[PersonLine, ...]:
    """Everybody, active people first, by name."""
    found = session.exec(
        select(Person, Operator.name)
        .join(Operator, isouter=True)
        .order_by(col(Person.active).desc(), Person.name, Person.login)
    )
    return tuple(
        PersonLine(
            id=row.id or 0,
            login=row.login,
            name=row.name,
            role=Role(row.role),
            operator=operator or "",
            active=row.active,
            version=row.version,
        )
        for row, operator in found
    )


def _engine(row: Engine, type_code: str) -> EngineLine:
    return EngineLine(
        id=row.id or 0,
        vessel_id=row.vessel_id,
        designation=row.designation,
        cylinders=row.cylinders,
        injectors_per_cylinder=row.injectors_per_cylinder,
        type_id=row.injector_type_id,
        type_code=type_code,
        version=row.version,
    )


def _vessel(row: Vessel, engines: tuple[EngineLine, ...]) -> VesselLine:
    return VesselLine(row.id or 0, row.operator_id, row.name, row.imo_number, row.version, engines)


def _operator(row: Operator, vessels: tuple[VesselLine, ...]) -> OperatorLine:
    ordered = tuple(Disposition(word) for word in row.standing_order.split())
    return OperatorLine(row.id or 0, row.name, row.contact, ordered, row.version, vessels)
