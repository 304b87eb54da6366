"""Reads of the JSON API: pages of the registers and of overhauls, and consignments, within one fleet or all.

`fleet` is the operator whose vessels bound what is seen; None sees all.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, TypeVar

from sqlalchemy import Select
from sqlmodel import Session, col, select
from sqlmodel.sql.expression import SelectOfScalar

from service.records.tables import (
    Consignment,
    Engine,
    InjectorType,
    Operator,
    Overhaul,
    SheetRevision,
    Unit,
    Vessel,
)

Row = TypeVar("Row", Operator, Vessel, Engine, InjectorType)


@dataclass(frozen=True, slots=True)
class OverhaulLine:
    """One overhaul in a list."""

    id: int
    number: str
    consignment: str
    serial: str
    injector_type: str
    vessel: str
    imo_number: str
    stage: str
    held: bool
    opened_at: datetime
    due_on: date
    closed_at: datetime | None


def operators(session: Session, fleet: int | None, after: int, limit: int) -> Sequence[Operator]:
    """Operators; an office sees its own."""
    statement = select(Operator)
    if fleet is not None:
        statement = statement.where(Operator.id == fleet)
    return _page(session, statement, Operator, after, limit)


def vessels(session: Session, fleet: int | None, after: int, limit: int) -> Sequence[Vessel]:
    """Vessels of the fleet."""
    return _page(session, _in_fleet(select(Vessel), fleet), Vessel, after, limit)


def engines(session: Session, fleet: int | None, vessel_id: int | None, after: int, limit: int) -> Sequence[Engine]:
    """Engines of the fleet's vessels, or of one of them."""
    statement = _in_fleet(select(Engine).join(Vessel), fleet)
    if vessel_id is not None:
        statement = statement.where(Engine.vessel_id == vessel_id)
    return _page(session, statement, Engine, after, limit)


def injector_types(session: Session, fleet: int | None, after: int, limit: int) -> Sequence[InjectorType]:
    """Injector types; an office sees those that its engines take."""
    statement = select(InjectorType)
    if fleet is not None:
        taken = select(Engine.injector_type_id).join(Vessel).where(Vessel.operator_id == fleet)
        statement = statement.where(col(InjectorType.id).in_(taken))
    return _page(session, statement, InjectorType, after, limit)


def sheet_revisions(session: Session, type_code: str) -> Sequence[SheetRevision]:
    """Every revision of a type's limit sheet, newest first."""
    statement = select(SheetRevision).join(InjectorType).where(InjectorType.code == type_code)
    return session.exec(statement.order_by(col(SheetRevision.revision).desc())).all()


def overhaul_lines(
    session: Session, fleet: int | None, *, stage: str | None, held: bool | None, after: int, limit: int
) -> list[OverhaulLine]:
    """Overhauls in the order they were opened."""
    statement = _overhauls(fleet).where(col(Overhaul.id) > after).order_by(col(Overhaul.id)).limit(limit)
    if stage is not None:
        statement = statement.where(col(Overhaul.stage) == stage)
    if held is not None:
        statement = statement.where(col(Overhaul.held).is_(held))
    return [OverhaulLine(*row) for row in session.execute(statement)]


def consignment_lines(session: Session, fleet: int | None, number: str) -> list[OverhaulLine]:
    """The overhauls of one consignment."""
    statement = _overhauls(fleet).where(col(Consignment.number) == number).order_by(col(Overhaul.id))
    return [OverhaulLine(*row) for row in session.execute(statement)]


def consignment_row(session: Session, fleet: int | None, number: str) -> tuple[Consignment, Vessel] | None:
    """A consignment with the vessel that it came from."""
    statement = select(Consignment, Vessel).join(Vessel).where(Consignment.number == number)
    if fleet is not None:
        statement = statement.where(Vessel.operator_id == fleet)
    return session.exec(statement).first()


def _page(session: Session, statement: SelectOfScalar[Row], table: type[Row], after: int, limit: int) -> Sequence[Row]:
    column = col(table.id)
    return session.exec(statement.where(column > after).order_by(column).limit(limit)).all()


def _in_fleet(statement: SelectOfScalar[Row], fleet: int | None) -> SelectOfScalar[Row]:
    return statement if fleet is None else statement.where(Vessel.operator_id == fleet)


def _overhauls(fleet: int | None) -> Select[Any]:
    statement: Select[Any] = select(  # type: ignore[call-overload]
        Overhaul.id,
        Overhaul.number,
        Consignment.number,
        Unit.serial,
        InjectorType.code,
        Vessel.name,
        Vessel.imo_number,
        Overhaul.stage,
        Overhaul.held,
        Overhaul.opened_at,
        Consignment.due_on,
        Overhaul.closed_at,
    )
    statement = (
        statement.join(Unit, col(Unit.id) == Overhaul.unit_id)
        .join(InjectorType, col(InjectorType.id) == Unit.injector_type_id)
        .join(Consignment, col(Consignment.id) == Overhaul.consignment_id)
        .join(Vessel, col(Vessel.id) == Consignment.vessel_id)
    )
    return statement if fleet is None else statement.where(col(Vessel.operator_id) == fleet)
