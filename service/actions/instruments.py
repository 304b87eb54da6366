"""The instrument register: adding, correcting, and taking an instrument into use for a reading."""

from datetime import date
from decimal import Decimal

from sqlmodel import Session

from service.actions.shop import Actor, Conflict, NotFound, Refused, Shop, require
from service.metrology.typed_numbers import plain
from service.metrology.units import unit_name
from service.records.journal import append_journal
from service.records.registers import instrument_by_code
from service.records.tables import Instrument
from service.workshop.measurements import InstrumentUse
from service.workshop.vocabulary import InstrumentKind, Role


def instrument_in_use(
    session: Session,
    code: str,
    *,
    kinds: tuple[InstrumentKind, ...],
    unit: str | None,
    on: date,
    field: str = "instrument",
) -> InstrumentUse:
    """The instrument as it stands on that day, fit for the reading; else Refused with the remedy.

    `kinds` empty takes any kind; `unit` None takes any unit.
    """
    row = instrument_by_code(session, code.strip().upper())
    if row is None:
        named = f"{code} is not in the register of instruments" if code.strip() else "No instrument is named"
        raise Refused("no-instrument", f"{named}: choose one from the list.", field)
    if not row.active:
        raise Refused("instrument-withdrawn", f"{row.code} is withdrawn from use: take another.", field)
    kind = InstrumentKind(row.kind)
    if kinds and kind not in kinds:
        wanted = " or ".join(one.label.lower() for one in kinds)
        raise Refused("instrument-kind", f"{row.code} is a {kind.label.lower()}; this needs a {wanted}.", field)
    if unit is not None and row.unit != unit:
        raise Refused("instrument-unit", f"{row.code} reads {row.unit}, not {unit}: take another.", field)
    if row.due < on:
        raise Refused(
            "calibration-due", f"{row.code} was due for calibration on {row.due}: take another or calibrate it.", field
        )
    return InstrumentUse(
        code=row.code,
        kind=kind,
        expanded_uncertainty=Decimal(row.expanded_uncertainty),
        unit=row.unit,
        calibration=row.calibration,
        due=row.due,
    )


def save_instrument(
    shop: Shop,
    actor: Actor,
    *,
    code: str,
    kind: InstrumentKind,
    description: str,
    unit: str,
    expanded_uncertainty: Decimal,
    calibration: str,
    due: date,
    active: bool = True,
    version: int | None = None,
) -> str:
    """Add an instrument (`version` None) or correct the one that the person saw at `version`; gives its code."""
    require(actor, Role.MANAGER)
    code = code.strip().upper()
    if not code or len(code) > 20:
        raise Refused("code", "Give the instrument a code of up to 20 signs, as it is marked.", "code")
    if not expanded_uncertainty.is_finite() or expanded_uncertainty < 0:
        raise Refused("uncertainty", "The expanded uncertainty is 0 or more.", "expanded_uncertainty")
    if not calibration.strip():
        raise Refused("calibration", "Give the number of the calibration certificate.", "calibration")
    with shop.store.change() as session:
        row = instrument_by_code(session, code, lock=True)
        before = None if row is None else row.model_dump(mode="json", exclude={"id"})
        if row is None:
            if version is not None:
                raise NotFound("no-instrument", f"There is no instrument {code}.")
            row = Instrument(code=code, kind="", unit="", expanded_uncertainty="", calibration="", due=due)
        elif version is None:
            raise Refused("code-taken", f"{code} is in the register already.", "code")
        elif row.version != version:
            raise Conflict("changed", "Somebody changed this instrument since you opened it.", (_in_words(row),))
        else:
            row.version += 1
        row.kind, row.description, row.unit = kind.value, description.strip(), unit_name(unit)
        row.expanded_uncertainty, row.calibration = plain(expanded_uncertainty), calibration.strip()
        row.due, row.active = due, active
        session.add(row)
        session.flush()
        append_journal(
            session,
            at=shop.now(),
            person=actor.signature,
            action="instrument",
            subject=("instrument", code),
            before=before,
            after=row.model_dump(mode="json", exclude={"id"}),
        )
        return code


def _in_words(row: Instrument) -> str:
    return (
        f"It now says: {InstrumentKind(row.kind).label}, {row.description or 'no description'}, expanded uncertainty "
        f"{row.expanded_uncertainty} {row.unit}, calibration {row.calibration}, due {row.due}, "
        f"{'in use' if row.active else 'withdrawn'}."
    )
