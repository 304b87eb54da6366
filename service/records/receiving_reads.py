"""Reads for receiving: vessels to choose from, their engines, and what a consignment brought."""

from dataclasses import dataclass
from datetime import date, datetime

from service.records.board_reads import stored_day
from service.records.store import Store


@dataclass(frozen=True, slots=True)
class RegisteredVessel:
    """A vessel that can send injectors."""

    id: int
    imo_number: str
    name: str
    operator: str


@dataclass(frozen=True, slots=True)
class EngineOnBoard:
    """An engine and the injector type that it takes."""

    id: int
    designation: str
    cylinders: int
    injectors_per_cylinder: int
    injector_type: str


@dataclass(frozen=True, slots=True)
class ArrivedInjector:
    """One injector of a consignment and how far it is."""

    overhaul: str
    serial: str
    injector_type: str
    engine: str
    cylinder: int
    position: str
    stage: str
    held: bool
    """0 or 1 on SQLite."""


@dataclass(frozen=True, slots=True)
class ArrivedConsignment:
    """What arrived from one vessel at one time."""

    number: str
    vessel: str
    imo_number: str
    operator: str
    received_at: datetime
    due_on: date
    reference: str
    remark: str
    injectors: tuple[ArrivedInjector, ...]


_VESSEL = (
    "SELECT v.id, v.imo_number, v.name, p.name FROM vessel v JOIN operator p ON p.id = v.operator_id "
    "{} ORDER BY v.name, v.imo_number"
)


def registered_vessels(store: Store) -> tuple[RegisteredVessel, ...]:
    """Every vessel, by name."""
    return tuple(RegisteredVessel(*row) for row in store.rows(_VESSEL.format("")))


def vessel_with_imo(store: Store, imo_number: str) -> RegisteredVessel | None:
    """The vessel with that IMO number."""
    found = store.rows(_VESSEL.format("WHERE v.imo_number = ?"), (imo_number,))
    return RegisteredVessel(*found[0]) if found else None


def engines_on_board(store: Store, vessel_id: int) -> tuple[EngineOnBoard, ...]:
    """The vessel's engines, by designation."""
    found = store.rows(
        "SELECT e.id, e.designation, e.cylinders, e.injectors_per_cylinder, t.code FROM engine e "
        "JOIN injector_type t ON t.id = e.injector_type_id WHERE e.vessel_id = ? ORDER BY e.designation, e.id",
        (vessel_id,),
    )
    return tuple(EngineOnBoard(*row) for row in found)


def consignment_arrived(store: Store, number: str) -> ArrivedConsignment | None:
    """The consignment with its injectors in the order received."""
    found = store.rows(
        "SELECT c.id, c.number, v.name, v.imo_number, p.name, c.received_at, c.due_on, c.reference, c.remark "
        "FROM consignment c JOIN vessel v ON v.id = c.vessel_id JOIN operator p ON p.id = v.operator_id "
        "WHERE c.number = ?",
        (number,),
    )
    if not found:
        return None
    key, found_number, vessel, imo, operator, received_at, due_on, reference, remark = found[0]
    rows = store.rows(
        "SELECT o.number, u.serial, t.code, e.designation, o.cylinder, o.position, o.stage, o.held "
        "FROM overhaul o JOIN unit u ON u.id = o.unit_id JOIN injector_type t ON t.id = u.injector_type_id "
        "JOIN engine e ON e.id = o.engine_id WHERE o.consignment_id = ? ORDER BY o.id",
        (key,),
    )
    return ArrivedConsignment(
        number=found_number,
        vessel=vessel,
        imo_number=imo,
        operator=operator,
        received_at=datetime.fromisoformat(received_at),
        due_on=stored_day(due_on),
        reference=reference,
        remark=remark,
        injectors=tuple(ArrivedInjector(*row) for row in rows),
    )
