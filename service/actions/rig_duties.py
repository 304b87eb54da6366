"""What the bench does for a test rig: changing its oil, checking it each day."""

from datetime import date
from decimal import Decimal

from sqlmodel import Session

from service.actions.recording import Form
from service.actions.shop import BENCH, Actor, Refused, Shop, require
from service.actions.taking_instruments import gauge_in_use, instrument_in_use
from service.actions.test_rigs import locked_rig
from service.metrology.typed_numbers import plain
from service.metrology.units import check_magnitude
from service.records.decision_rules import rule_in_force
from service.records.journal import append_journal
from service.records.rig_reads import KnownRig, check_to_json, form_was_used, known_rig, rigs_with_gauge
from service.records.tables import RigCheckRow, RigOilFilling, TestRigRow
from service.workshop.measurements import InstrumentUse
from service.workshop.rig_check import LineHeld, RigCheck, SpringsTried, check_rig
from service.workshop.test_rig import TestRig
from service.workshop.vocabulary import InstrumentKind

_OF_FILLING = {"name", "viscosity_mm2_s", "bulk_modulus_gpa", "changed_on"}


def fill_test_oil(
    shop: Shop,
    actor: Actor,
    form: Form,
    *,
    code: str,
    name: str,
    viscosity_mm2_s: Decimal,
    bulk_modulus_gpa: Decimal | None,
    changed_on: date,
) -> None:
    """Record that the rig's oil was changed: viscosity at 40 °C. A second submission of the form records nothing.

    Raises NotFound, Refused or MetrologyError by the field.
    """
    require(actor, *BENCH)
    if not name.strip() or len(name) > 80:
        raise Refused("oil-name", "Name the oil as its drum does, in up to 80 characters.", "oil_name")
    check_magnitude(viscosity_mm2_s, Decimal("0.1"), Decimal(2000), "viscosity_mm2_s", "mm²/s")
    if bulk_modulus_gpa is not None:
        check_magnitude(bulk_modulus_gpa, Decimal("0.1"), Decimal(10), "bulk_modulus_gpa", "GPa")
    if changed_on > shop.today:
        raise Refused("changed-on", "The oil cannot have been changed in the future: correct the day.", "changed_on")
    with shop.store.change() as session:
        row = locked_rig(session, code)
        if form_was_used(session, form.key):
            return
        filling = RigOilFilling(
            rig_id=row.id or 0,
            name=name.strip(),
            viscosity_mm2_s=plain(viscosity_mm2_s),
            bulk_modulus_gpa=None if bulk_modulus_gpa is None else plain(bulk_modulus_gpa),
            changed_on=changed_on,
            recorded_at=shop.now(),
            person_id=actor.person_id,
            person_name=actor.name,
            form_key=form.key,
        )
        session.add(filling)
        session.flush()
        append_journal(
            session,
            at=shop.now(),
            person=actor.signature,
            action="test-rig-oil",
            subject=("test_rig", row.code),
            after=filling.model_dump(mode="json", include=_OF_FILLING),
        )


def record_rig_check(
    shop: Shop,
    actor: Actor,
    form: Form,
    *,
    code: str,
    gauge: str,
    start_bar: Decimal,
    end_bar: Decimal,
    held_s: int,
    forces_n: tuple[Decimal, ...] = (),
    tester: str = "",
    remark: str = "",
) -> RigCheck | None:
    """Judge and record the daily check; None where this form has recorded it already.

    Raises NotFound, Refused, InstrumentRefused, CheckRefused or MetrologyError, each naming field and remedy.
    """
    require(actor, *BENCH)
    if len(remark) > 500:
        raise Refused("remark", "Keep the remark to 500 characters.", "remark")
    with shop.store.change() as session:
        row, today = locked_rig(session, code), shop.today
        if form_was_used(session, form.key):
            return None
        rig = known_rig(session, row, today).rig
        if not rig.in_use:
            raise Refused("rig-withdrawn", f"Rig {rig.code} is out of use: take another.", "code")
        use = gauge_of_rig(session, rig, gauge, (start_bar, end_bar), today)
        line = LineHeld(start_bar=start_bar, end_bar=end_bar, held_s=held_s, gauge=use)
        springs = _springs(session, forces_n, tester, today) if forces_n else None
        check = check_rig(rig, line, springs, today, rule_in_force(session), remark)
        _append(session, shop, actor, row, check, form.key)
        return check


def gauge_of_rig(session: Session, rig: TestRig, code: str, values_bar: tuple[Decimal, ...], on: date) -> InstrumentUse:
    """A gauge of that rig, fit for pressures in bar on that day. Raises Refused or InstrumentRefused."""
    if code.strip().upper() not in rig.gauges:
        known = ", ".join(rig.gauges)
        raise Refused("gauge-elsewhere", f"{code or 'No gauge'} is not on rig {rig.code}: take {known}.", "gauge")
    return gauge_in_use(session, code, on=on, values=values_bar)


def rig_of_gauge(session: Session, gauge: str, code: str, on: date) -> KnownRig | None:
    """The rig in use that the gauge belongs to, as it stands on that day; None where it belongs to none.

    Raises Refused where the gauge serves several rigs and `code` names none of them, or names another.
    """
    rigs = {row.code: row for row in rigs_with_gauge(session, gauge)}
    wanted = code.strip().upper() or (next(iter(rigs)) if len(rigs) == 1 else "")
    if wanted in rigs:
        return known_rig(session, rigs[wanted], on)
    if not wanted and not rigs:
        return None
    named = f"{gauge} is not a gauge of rig {wanted}" if wanted else f"{gauge} serves several rigs"
    choice = f"choose {' or '.join(rigs)}" if rigs else "name no rig, and the run is indicative"
    raise Refused("rig", f"{named}: {choice}.", "rig")


def _springs(session: Session, forces_n: tuple[Decimal, ...], tester: str, on: date) -> SpringsTried:
    kinds = (InstrumentKind.SPRING_TESTER,)
    use = instrument_in_use(session, tester, kinds=kinds, unit="N", values=forces_n, on=on, field="tester")
    return SpringsTried(forces_n=forces_n, tester=use)


def _append(session: Session, shop: Shop, actor: Actor, row: TestRigRow, check: RigCheck, form_key: str) -> None:
    now = shop.now()
    session.add(
        RigCheckRow(
            rig_id=row.id or 0,
            checked_on=shop.today,
            at=now,
            good=check.good,
            content=check_to_json(check),
            person_id=actor.person_id,
            person_name=actor.name,
            form_key=form_key,
        )
    )
    session.flush()
    append_journal(
        session,
        at=now,
        person=actor.signature,
        action="test-rig-check",
        subject=("test_rig", row.code),
        after={"good": check.good} | {one.what: f"{one.verdict.label}: {one.sentence}" for one in check.found},
    )
