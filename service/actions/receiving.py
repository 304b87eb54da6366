"""Receiving a consignment: several injectors from one vessel, identified one by one."""

from dataclasses import dataclass
from datetime import date

from sqlmodel import Session, col, select

from service.actions.shop import BENCH, Actor, NotFound, Refused, Shop, require
from service.metrology.errors import DomainError
from service.records.journal import append_journal
from service.records.numbering import hold_series, next_number
from service.records.overhaul_store import open_overhaul_number
from service.records.registers import approved_sheet, engine_of, vessel_by_imo
from service.records.tables import Consignment, Engine, InjectorType, Operator, Overhaul, SheetRevision, Unit, Vessel
from service.workshop.imo_number import imo_number
from service.workshop.serial_number import serial_number
from service.workshop.vocabulary import Fuel, Packing, SendReason, Stage


@dataclass(frozen=True, kw_only=True)
class InjectorReceived:
    """One injector of the consignment as the technician identifies it."""

    serial: str
    engine_id: int
    cylinder: int
    position: str = ""
    running_hours: int | None = None
    fuel: Fuel
    reason: SendReason
    packing: Packing
    remark: str = ""


@dataclass(frozen=True, kw_only=True)
class ConsignmentReceived:
    """The consignment's number and its overhauls' numbers, in the order received."""

    number: str
    overhauls: tuple[str, ...]


class OpenAlready(DomainError):
    """The serial is in the shop already; `overhaul` is where."""

    def __init__(self, serial: str, overhaul: str, field: str) -> None:
        super().__init__(
            "open-already",
            f"{serial} is open in the shop already as {overhaul}: go on there, or check the serial number.",
            field,
        )
        self.overhaul = overhaul


def receive_consignment(
    shop: Shop,
    actor: Actor,
    *,
    imo: str,
    due_on: date,
    injectors: tuple[InjectorReceived, ...],
    reference: str = "",
    remark: str = "",
    form_key: str,
) -> ConsignmentReceived:
    """Open one overhaul for each injector, all or none.

    Raises ImoNumberError, NotFound (no such vessel), OpenAlready, Refused; `field` names the injector's field
    as `injectors.0.serial`.
    """
    require(actor, *BENCH)
    with shop.store.change() as session:
        now = shop.now()
        hold_series(session, "CN", now)  # one consignment at a time: nobody opens the same serial meanwhile
        earlier = session.exec(select(Consignment).where(Consignment.form_key == form_key)).first()
        if earlier is not None:
            return _again(session, earlier)
        vessel = vessel_by_imo(session, imo_number(imo))
        if vessel is None:
            raise NotFound(
                "no-vessel", f"No vessel with IMO {imo} is registered: a manager adds it first.", "imo_number"
            )
        if not injectors:
            raise Refused("no-injector", "Enter at least one injector.", "injectors.0.serial")
        if due_on < shop.today:
            raise Refused("due-past", "The date promised lies in the past.", "due_on")
        consignment = Consignment(
            number=next_number(session, "CN", now),
            vessel_id=vessel.id or 0,
            received_at=now,
            due_on=due_on,
            reference=reference.strip(),
            remark=remark.strip(),
            standing_order=session.get_one(Operator, vessel.operator_id).standing_order,
            form_key=form_key,
        )
        session.add(consignment)
        session.flush()
        numbers = _open_all(session, shop, consignment, vessel, injectors)
        append_journal(
            session,
            at=now,
            person=actor.signature,
            action="received",
            subject=("consignment", consignment.number),
            after={"vessel": vessel.imo_number, "overhauls": list(numbers), "due_on": due_on.isoformat()},
        )
        return ConsignmentReceived(number=consignment.number, overhauls=numbers)


def _again(session: Session, consignment: Consignment) -> ConsignmentReceived:
    numbers = session.exec(
        select(Overhaul.number).where(Overhaul.consignment_id == consignment.id).order_by(col(Overhaul.id))
    )
    return ConsignmentReceived(number=consignment.number, overhauls=tuple(numbers))


def _open_all(
    session: Session, shop: Shop, consignment: Consignment, vessel: Vessel, injectors: tuple[InjectorReceived, ...]
) -> tuple[str, ...]:
    numbers: list[str] = []
    for place, injector in enumerate(injectors):
        try:
            numbers.append(_open(session, shop, consignment, vessel, injector, f"injectors.{place}"))
        except OpenAlready as already:
            if already.overhaul not in numbers:
                raise
            # Opened a moment ago by this very consignment: a number that nobody will ever find.
            sentence = "This serial number stands twice in the consignment: correct one of them."
            raise Refused("serial-twice", sentence, already.field) from None
    return tuple(numbers)


def _open(
    session: Session, shop: Shop, consignment: Consignment, vessel: Vessel, injector: InjectorReceived, place: str
) -> str:
    serial = serial_number(injector.serial, f"{place}.serial")
    engine = engine_of(session, vessel.id or 0, injector.engine_id)
    if engine is None:
        raise Refused("no-engine", "Choose an engine of this vessel.", f"{place}.engine_id")
    _check_place(engine, injector, place)
    sheet = approved_sheet(session, engine.injector_type_id)
    if sheet is None:
        kind = session.get_one(InjectorType, engine.injector_type_id).code
        raise Refused(
            "no-sheet", f"{kind} has no approved limit sheet: a manager approves one first.", f"{place}.engine_id"
        )
    open_in = open_overhaul_number(session, serial, engine.injector_type_id)
    if open_in is not None:
        raise OpenAlready(serial, open_in, f"{place}.serial")
    unit = _unit(session, serial, engine, vessel, f"{place}.serial")
    overhaul = _overhaul(session, shop, consignment, unit, engine, sheet, injector)
    return overhaul.number


def _check_place(engine: Engine, injector: InjectorReceived, place: str) -> None:
    if not 1 <= injector.cylinder <= engine.cylinders:
        raise Refused("cylinder", f"{engine.designation} has cylinders 1 to {engine.cylinders}.", f"{place}.cylinder")
    hours = injector.running_hours
    if hours is not None and not 0 <= hours <= 200_000:
        raise Refused("hours", "Running hours lie between 0 and 200 000.", f"{place}.running_hours")


def _unit(session: Session, serial: str, engine: Engine, vessel: Vessel, field: str) -> Unit:
    """The unit for life: found by its serial and type, else new."""
    statement = select(Unit).where(Unit.serial == serial, Unit.injector_type_id == engine.injector_type_id)
    unit = session.exec(statement).first()
    if unit is None:
        unit = Unit(serial=serial, injector_type_id=engine.injector_type_id, vessel_id=vessel.id or 0)
    elif unit.condemned:
        raise Refused("condemned", f"{serial} was condemned: it is not overhauled again.", field)
    unit.vessel_id = vessel.id or 0
    session.add(unit)
    session.flush()
    return unit


def _overhaul(
    session: Session,
    shop: Shop,
    consignment: Consignment,
    unit: Unit,
    engine: Engine,
    sheet: SheetRevision,
    injector: InjectorReceived,
) -> Overhaul:
    now = shop.now()
    overhaul = Overhaul(
        number=next_number(session, "OH", now),
        unit_id=unit.id or 0,
        consignment_id=consignment.id or 0,
        engine_id=engine.id or 0,
        sheet_id=sheet.id or 0,
        cylinder=injector.cylinder,
        position=injector.position.strip(),
        running_hours=injector.running_hours,
        fuel=injector.fuel.value,
        reason=injector.reason.value,
        packing=injector.packing.value,
        remark=injector.remark.strip(),
        stage=Stage.RECEIVED.value,
        opened_at=now,
    )
    session.add(overhaul)
    session.flush()
    return overhaul
