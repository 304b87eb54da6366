"""The manager's reference records: operators, vessels, engines, injector types."""

from collections.abc import Callable
from typing import TypeVar

from sqlmodel import Session, SQLModel, select

from service.actions.shop import Actor, Conflict, NotFound, Refused, Shop, require
from service.records.journal import append_journal
from service.records.registers import newest_revision, operator_by_name, type_by_code, vessel_by_imo
from service.records.tables import Engine, InjectorType, Operator, Vessel
from service.workshop.imo_number import imo_number
from service.workshop.vocabulary import Disposition, Role

ASKABLE = (Disposition.REWORK, Disposition.REPLACE, Disposition.REPLACE_ASSEMBLY)
"""What a standing order may cover; keeping a part and renewing a seal never need asking."""

Row = TypeVar("Row", Operator, Vessel, Engine, InjectorType)


def save_operator(
    shop: Shop,
    actor: Actor,
    *,
    name: str,
    contact: str = "",
    standing_order: frozenset[Disposition] = frozenset(),
    operator_id: int | None = None,
    version: int | None = None,
) -> int:
    """Add an operator, or change the one seen at `version`."""
    require(actor, Role.MANAGER)

    def fill(session: Session, row: Operator) -> str:
        other = operator_by_name(session, _named(name, "name"))
        if other is not None and other.id != row.id:
            raise Refused("name-taken", f"{name.strip()} is registered already.", "name")
        row.name, row.contact = name.strip(), contact.strip()
        row.standing_order = " ".join(d.value for d in ASKABLE if d in standing_order)
        return row.name

    return _save(shop, actor, Operator(name=""), operator_id, version, fill)


def save_vessel(
    shop: Shop,
    actor: Actor,
    *,
    operator_id: int,
    name: str,
    imo: str,
    vessel_id: int | None = None,
    version: int | None = None,
) -> int:
    """Add a vessel by its IMO number, or change the one seen at `version`."""
    require(actor, Role.MANAGER)
    number = imo_number(imo)

    def fill(session: Session, row: Vessel) -> str:
        if session.get(Operator, operator_id) is None:
            raise NotFound("no-operator", "Choose an operator.", "operator_id")
        other = vessel_by_imo(session, number)
        if other is not None and other.id != row.id:
            raise Refused("imo-taken", f"IMO {number} is registered already as {other.name}.", "imo_number")
        row.operator_id, row.name, row.imo_number = operator_id, _named(name, "name"), number
        return row.imo_number

    return _save(shop, actor, Vessel(operator_id=0, name="", imo_number=""), vessel_id, version, fill)


def save_engine(
    shop: Shop,
    actor: Actor,
    *,
    vessel_id: int,
    designation: str,
    cylinders: int,
    injectors_per_cylinder: int,
    injector_type_id: int,
    engine_id: int | None = None,
    version: int | None = None,
) -> int:
    """Add an engine to a vessel, or change the one seen at `version`."""
    require(actor, Role.MANAGER)
    if not 1 <= cylinders <= 24:
        raise Refused("cylinders", "An engine has 1 to 24 cylinders.", "cylinders")
    if not 1 <= injectors_per_cylinder <= 4:
        raise Refused("injectors", "A cylinder has 1 to 4 injectors.", "injectors_per_cylinder")

    def fill(session: Session, row: Engine) -> str:
        if session.get(Vessel, vessel_id) is None:
            raise NotFound("no-vessel", "Choose a vessel.", "vessel_id")
        if session.get(InjectorType, injector_type_id) is None:
            raise NotFound("no-type", "Choose an injector type.", "injector_type_id")
        wanted = _named(designation, "designation")
        other = session.exec(select(Engine).where(Engine.vessel_id == vessel_id, Engine.designation == wanted)).first()
        if other is not None and other.id != row.id:
            raise Refused("engine-taken", f"This vessel has an engine {wanted} already.", "designation")
        row.vessel_id, row.designation = vessel_id, wanted
        row.cylinders, row.injectors_per_cylinder = cylinders, injectors_per_cylinder
        row.injector_type_id = injector_type_id
        return f"{vessel_id}/{row.designation}"

    blank = Engine(vessel_id=0, designation="", cylinders=1, injector_type_id=0)
    return _save(shop, actor, blank, engine_id, version, fill)


def save_injector_type(
    shop: Shop, actor: Actor, *, code: str, name: str, type_id: int | None = None, version: int | None = None
) -> int:
    """Add an injector type by the workshop's own code, or change the one seen at `version`."""
    require(actor, Role.MANAGER)

    def fill(session: Session, row: InjectorType) -> str:
        wanted = _named(code, "code").upper()
        if len(wanted) > 40 or not all(sign.isalnum() or sign in "-._" for sign in wanted):
            raise Refused("code", "A code has up to 40 letters, digits, hyphens, dots or underscores.", "code")
        other = type_by_code(session, wanted)
        if other is not None and other.id != row.id:
            raise Refused("code-taken", f"{wanted} is registered already.", "code")
        if row.id is not None and row.code != wanted and newest_revision(session, row.id):
            raise Refused("code-in-sheet", f"The limit sheets of {row.code} carry its code: it cannot change.", "code")
        row.code, row.name = wanted, _named(name, "name")
        return row.code

    return _save(shop, actor, InjectorType(code="", name=""), type_id, version, fill)


def _save(
    shop: Shop,
    actor: Actor,
    blank: Row,
    row_id: int | None,
    version: int | None,
    fill: Callable[[Session, Row], str],
) -> int:
    """Insert the blank once filled, or fill the stored row if it is still the version that was seen."""
    kind = str(blank.__tablename__)
    with shop.store.change() as session:
        # Locked, or on PostgreSQL two people could save over the same version.
        stored = select(type(blank)).where(type(blank).id == row_id).with_for_update()
        row = blank if row_id is None else session.exec(stored).first()
        if row is None:
            raise NotFound("no-row", f"There is no such {kind.replace('_', ' ')}.")
        before = None if row_id is None else _shown(row)
        if row_id is not None:
            if row.version != version:
                raise Conflict(
                    "changed", "Somebody changed this since you opened it.", (f"It now says: {_in_words(row)}.",)
                )
            row.version += 1
        with session.no_autoflush:
            subject = fill(session, row)
        session.add(row)
        session.flush()
        append_journal(
            session,
            at=shop.now(),
            person=actor.signature,
            action=f"{kind}-saved",
            subject=(kind, subject),
            before=before,
            after=_shown(row),
        )
        return row.id or 0


def _shown(row: SQLModel) -> dict[str, object]:
    return row.model_dump(mode="json", exclude={"id"})


def _in_words(row: SQLModel) -> str:
    kept = {key: value for key, value in _shown(row).items() if key != "version" and not key.endswith("_id")}
    return ", ".join(f"{key.replace('_', ' ')} {value if value != '' else '(empty)'}" for key, value in kept.items())


def _named(text: str, field: str) -> str:
    if not text.strip() or len(text.strip()) > 120:
        raise Refused(f"{field}-missing", "Fill this in, with up to 120 characters.", field)
    return text.strip()
