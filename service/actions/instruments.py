"""The instrument register: adding and correcting instruments, and letting them be used or not."""

from collections.abc import Iterable
from datetime import datetime
from decimal import Decimal
from typing import Any

from sqlmodel import Session

from service.actions.shop import BENCH, Actor, Conflict, NotFound, Refused, Shop, require
from service.metrology.typed_numbers import plain
from service.metrology.units import unit_name
from service.records.calibration_store import calibrations_of, pins_of, put_pins, registered
from service.records.journal import append_journal
from service.records.registers import instrument_by_code
from service.records.tables import Instrument
from service.workshop.calibration import InstrumentState
from service.workshop.instrument_fitness import range_in_words
from service.workshop.vocabulary import InstrumentKind, Role

_SMALLEST_PIN, _LARGEST_PIN, _MOST_PINS = Decimal("0.01"), Decimal(50), 500
_MOST_REPEATS = 100_000


def save_instrument(
    shop: Shop,
    actor: Actor,
    *,
    code: str,
    kind: InstrumentKind,
    description: str = "",
    unit: str,
    lower: Decimal | None = None,
    upper: Decimal | None = None,
    resolution: Decimal | None = None,
    repeatability: Decimal | None = None,
    repeatability_readings: int | None = None,
    location: str = "",
    pins: Iterable[Decimal] = (),
    version: int | None = None,
) -> str:
    """Add an instrument (`version` None) or correct the one that the person saw at `version`; gives its code.

    Range and resolution in `unit`, None where not stated; `repeatability` is the standard deviation of so many
    repeats of one and the same place with it, in `unit`; `pins` are the nominal sizes (mm) of a gauge pin set.
    """
    require(actor, Role.MANAGER)
    code = code.strip().upper()
    if not code or len(code) > 20:
        raise Refused("code", "Give the instrument a code of up to 20 characters, as it is marked.", "code")
    _check_range(lower, upper, resolution)
    _check_repeatability(repeatability, repeatability_readings)
    sizes = _checked_pins(kind, pins)
    with shop.store.change() as session:
        row = instrument_by_code(session, code, lock=True)
        before = None if row is None else as_journalled(session, row)
        if row is None:
            if version is not None:
                raise NotFound("no-instrument", f"There is no instrument {code}.")
            row = Instrument(code=code, kind="", unit="")
        elif version is None:
            raise Refused("code-taken", f"{code} is in the register already.", "code")
        else:
            check_version(session, row, version)
            row.version += 1
        row.kind, row.description, row.unit = kind.value, description.strip(), unit_name(unit)
        row.lower, row.upper, row.resolution = _text(lower), _text(upper), _text(resolution)
        row.repeatability, row.repeatability_readings = _text(repeatability), repeatability_readings
        row.location = location.strip()
        session.add(row)
        session.flush()
        put_pins(session, row.id or 0, sizes)
        session.flush()
        _journal(session, shop, actor, row, "instrument", before)
        return code


def quarantine_instrument(shop: Shop, actor: Actor, *, code: str, reason: str, version: int) -> None:
    """Shut an instrument away: no reading is taken with it until a manager releases it. Anybody at the bench may."""
    require(actor, *BENCH)
    _set_state(shop, actor, code, InstrumentState.QUARANTINED, (InstrumentState.IN_USE,), reason, version)


def release_instrument(shop: Shop, actor: Actor, *, code: str, reason: str, version: int) -> None:
    """Let a quarantined or withdrawn instrument be used again. Only a manager may."""
    require(actor, Role.MANAGER)
    shut = (InstrumentState.QUARANTINED, InstrumentState.WITHDRAWN)
    _set_state(shop, actor, code, InstrumentState.IN_USE, shut, reason, version)


def withdraw_instrument(shop: Shop, actor: Actor, *, code: str, reason: str, version: int) -> None:
    """Take an instrument out of use for good; its history stays. Only a manager may."""
    require(actor, Role.MANAGER)
    usable = (InstrumentState.IN_USE, InstrumentState.QUARANTINED)
    _set_state(shop, actor, code, InstrumentState.WITHDRAWN, usable, reason, version)


def locked_instrument(session: Session, code: str, version: int) -> Instrument:
    """The instrument for a change, as the person saw it. Raises NotFound or Conflict."""
    row = instrument_by_code(session, code.strip().upper(), lock=True)
    if row is None:
        raise NotFound("no-instrument", f"There is no instrument {code}.")
    check_version(session, row, version)
    return row


def check_version(session: Session, row: Instrument, version: int) -> None:
    """Raise Conflict, told what the register says now, where somebody changed the instrument meanwhile."""
    if row.version != version:
        raise Conflict("changed", "Somebody changed this instrument since you opened it.", (_in_words(session, row),))


def as_journalled(session: Session, row: Instrument) -> dict[str, Any]:
    """The instrument as the journal keeps it."""
    pins = [plain(pin) for pin in pins_of(session, row.id or 0)]
    return row.model_dump(mode="json", exclude={"id"}) | ({"pins": pins} if pins else {})


def calibrations_changed(
    session: Session, row: Instrument, shut_because: str, *, at: datetime, person: tuple[int, str]
) -> None:
    """A new version of the instrument after a change to its calibrations; shut away where there is a reason to."""
    before = as_journalled(session, row)
    row.version += 1
    if shut_because:
        row.state, row.state_reason = InstrumentState.QUARANTINED.value, shut_because
    session.add(row)
    session.flush()
    if shut_because:
        append_journal(
            session,
            at=at,
            person=person,
            action="instrument-quarantined",
            subject=("instrument", row.code),
            reason=shut_because,
            before=before,
            after=as_journalled(session, row),
        )


def _set_state(
    shop: Shop,
    actor: Actor,
    code: str,
    wanted: InstrumentState,
    possible_from: tuple[InstrumentState, ...],
    reason: str,
    version: int,
) -> None:
    if not reason.strip():
        raise Refused("reason-missing", "Say why: the reason stands in the register and in the journal.", "reason")
    with shop.store.change() as session:
        row = locked_instrument(session, code, version)
        now = InstrumentState(row.state)
        if now not in possible_from:
            raise Refused("instrument-state", f"{row.code} is {now.label.lower()} already.", "reason")
        before = as_journalled(session, row)
        row.state, row.version = wanted.value, row.version + 1
        row.state_reason = "" if wanted is InstrumentState.IN_USE else reason.strip()
        session.add(row)
        session.flush()
        action = "instrument-released" if wanted is InstrumentState.IN_USE else f"instrument-{wanted.value}"
        _journal(session, shop, actor, row, action, before, reason.strip())


def _journal(
    session: Session,
    shop: Shop,
    actor: Actor,
    row: Instrument,
    action: str,
    before: dict[str, Any] | None,
    reason: str = "",
) -> None:
    append_journal(
        session,
        at=shop.now(),
        person=actor.signature,
        action=action,
        subject=("instrument", row.code),
        reason=reason,
        before=before,
        after=as_journalled(session, row),
    )


def _check_range(lower: Decimal | None, upper: Decimal | None, resolution: Decimal | None) -> None:
    for field, value in (("lower", lower), ("upper", upper), ("resolution", resolution)):
        if value is not None and not value.is_finite():
            raise Refused("not-finite", "Enter a number.", field)
    if lower is not None and upper is not None and lower >= upper:
        raise Refused("range", "The upper end of the range lies above the lower end.", "upper")
    if resolution is not None and resolution <= 0:
        raise Refused("resolution", "The resolution is more than 0.", "resolution")


def _check_repeatability(deviation: Decimal | None, readings: int | None) -> None:
    if deviation is not None and (not deviation.is_finite() or deviation < 0):
        raise Refused("repeatability", "A standard deviation is 0 or more.", "repeatability")
    if deviation is None and readings is not None:
        raise Refused("repeatability", "Give the standard deviation of these readings.", "repeatability")
    if deviation is not None and (readings is None or not 2 <= readings <= _MOST_REPEATS):
        sentence = f"Say from how many readings the standard deviation comes: 2 to {_MOST_REPEATS}."
        raise Refused("repeatability-readings", sentence, "repeatability_readings")


def _checked_pins(kind: InstrumentKind, pins: Iterable[Decimal]) -> tuple[Decimal, ...]:
    sizes = tuple(pins)
    if sizes and kind is not InstrumentKind.PIN_SET:
        raise Refused("pins", "Only a gauge pin set holds pins.", "pins")
    if len(sizes) > _MOST_PINS:
        raise Refused("pins", f"A set holds at most {_MOST_PINS} pins: make two of it.", "pins")
    for size in sizes:
        if not size.is_finite() or not _SMALLEST_PIN <= size <= _LARGEST_PIN:
            raise Refused("pins", f"A pin measures {_SMALLEST_PIN} to {_LARGEST_PIN} mm: check {size}.", "pins")
        if sizes.count(size) > 1:
            raise Refused("pins", f"Pin {plain(size)} mm stands twice in the list.", "pins")
    return sizes


def _text(value: Decimal | None) -> str | None:
    return None if value is None else plain(value)


def _in_words(session: Session, row: Instrument) -> str:
    known = registered(session, row)
    span = range_in_words(known.lower, known.upper, known.unit) or f"reads {known.unit}"
    why = f" ({row.state_reason})" if row.state_reason else ""
    scatter = f", repeatability {row.repeatability}" if row.repeatability else ""
    newest = [one for one in calibrations_of(session, row.id or 0) if not one.annulled][-1:]
    calibrated = f"last calibration {newest[0].certificate}, due {newest[0].due}" if newest else "never calibrated"
    return (
        f"It now says: {known.kind.label}, {row.description or 'no description'}, {span}, resolution "
        f"{row.resolution or 'not stated'}{scatter}, at {row.location or 'no place stated'}, "
        f"{known.state.label.lower()}{why}, {calibrated}."
    )
