"""Test rigs from their rows to domain values, with the newest filling of oil and the checks of a day."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from functools import cache

from pydantic import TypeAdapter
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, select

from service.records.json_text import canonical
from service.records.tables import Instrument, RigCheckRow, RigGauge, RigOilFilling, TestRigRow
from service.workshop.rig_check import RigCheck
from service.workshop.test_rig import BlankedLine, CheckOfTheDay, ClampSprings, RigOil, TestRig

_GAUGES = (
    select(RigGauge.rig_id, Instrument.code)
    .join(Instrument, col(Instrument.id) == RigGauge.instrument_id)
    .order_by(Instrument.code)
)
_Filling = aliased(RigOilFilling)
_NEWEST_FILLING = (
    select(_Filling.id)
    .where(_Filling.rig_id == RigOilFilling.rig_id)
    .order_by(col(_Filling.changed_on).desc(), col(_Filling.id).desc())
    .limit(1)
    .correlate(RigOilFilling)
    .scalar_subquery()
)


@dataclass(frozen=True)
class KnownRig:
    """A rig of the register with its newest check of the day that was asked for."""

    rig: TestRig
    description: str
    version: int
    check: CheckOfTheDay | None


@dataclass(frozen=True)
class PastCheck:
    """A daily check as it was recorded."""

    on: date
    at: datetime
    person: str
    check: RigCheck


@dataclass(frozen=True)
class PastFilling:
    """A filling of oil as it was recorded."""

    oil: RigOil
    recorded_at: datetime
    person: str


def rig_row(session: Session, code: str, *, lock: bool = False) -> TestRigRow | None:
    """The rig with that code. `lock` keeps other writers out until the commit."""
    statement = select(TestRigRow).where(TestRigRow.code == code)
    return session.exec(statement.with_for_update() if lock else statement).first()


def rigs_with_gauge(session: Session, gauge: str) -> Sequence[TestRigRow]:
    """The rigs in use that the gauge with that code belongs to."""
    statement = (
        select(TestRigRow)
        .join(RigGauge, col(RigGauge.rig_id) == TestRigRow.id)
        .join(Instrument, col(Instrument.id) == RigGauge.instrument_id)
        .where(Instrument.code == gauge, col(TestRigRow.in_use))
    )
    return session.exec(statement.order_by(TestRigRow.code)).all()


def known_rigs(session: Session, on: date) -> tuple[KnownRig, ...]:
    """Every rig by its code, those out of use last, as it stands on that day."""
    rows = session.exec(select(TestRigRow).order_by(col(TestRigRow.in_use).desc(), TestRigRow.code)).all()
    return _known(session, rows, on)


def known_rig(session: Session, row: TestRigRow, on: date) -> KnownRig:
    """The rig as it stands on that day."""
    return _known(session, (row,), on)[0]


def _known(session: Session, rows: Sequence[TestRigRow], on: date) -> tuple[KnownRig, ...]:
    """The same three statements however many rigs: a start form asks for all of them."""
    ids = [row.id or 0 for row in rows]
    gauges: dict[int, list[str]] = {rig: [] for rig in ids}
    for rig, code in session.exec(_GAUGES.where(col(RigGauge.rig_id).in_(ids))):
        gauges[rig].append(code)
    newest = select(RigOilFilling).where(col(RigOilFilling.id) == _NEWEST_FILLING, col(RigOilFilling.rig_id).in_(ids))
    oils = {one.rig_id: _oil(one) for one in session.exec(newest)}
    made = (
        select(RigCheckRow.rig_id, RigCheckRow.at, RigCheckRow.person_name, RigCheckRow.good)
        .where(col(RigCheckRow.rig_id).in_(ids), RigCheckRow.checked_on == on)
        .order_by(col(RigCheckRow.id))
    )
    checks = {rig: CheckOfTheDay(at, person, good) for rig, at, person, good in session.exec(made)}  # the newest stays
    return tuple(
        KnownRig(_rig(row, tuple(gauges[rig]), oils.get(rig)), row.description, row.version, checks.get(rig))
        for rig, row in zip(ids, rows, strict=True)
    )


def past_checks(session: Session, row: TestRigRow, most: int) -> tuple[PastCheck, ...]:
    """The newest checks, newest first."""
    rows = session.exec(
        select(RigCheckRow).where(RigCheckRow.rig_id == row.id).order_by(col(RigCheckRow.id).desc()).limit(most)
    )
    return tuple(_past(one) for one in rows)


def check_of_form(session: Session, row: TestRigRow, form_key: str) -> PastCheck | None:
    """The check of the rig that this form recorded."""
    statement = select(RigCheckRow).where(RigCheckRow.rig_id == row.id, RigCheckRow.form_key == form_key)
    one = session.exec(statement).first()
    return None if one is None else _past(one)


def past_fillings(session: Session, row: TestRigRow, most: int) -> tuple[PastFilling, ...]:
    """The newest fillings, newest first."""
    return tuple(PastFilling(_oil(one), one.recorded_at, one.person_name) for one in _fillings(session, row, most))


def form_was_used(session: Session, form_key: str) -> bool:
    """Whether a filling or a check was recorded by that form already."""
    checked = select(RigCheckRow.id).where(RigCheckRow.form_key == form_key)
    filled = select(RigOilFilling.id).where(RigOilFilling.form_key == form_key)
    return session.exec(checked).first() is not None or session.exec(filled).first() is not None


def check_to_json(check: RigCheck) -> str:
    """A check as canonical JSON text."""
    return canonical(_checks().dump_python(check, mode="json"))


def check_from_json(text: str) -> RigCheck:
    """The check again."""
    return _checks().validate_json(text)


@cache
def _checks() -> TypeAdapter[RigCheck]:
    return TypeAdapter(RigCheck)


def gauges_of(session: Session, row: TestRigRow) -> tuple[str, ...]:
    """Codes of the rig's gauges."""
    return tuple(code for _, code in session.exec(_GAUGES.where(RigGauge.rig_id == row.id)))


def _past(row: RigCheckRow) -> PastCheck:
    return PastCheck(row.checked_on, row.at, row.person_name, check_from_json(row.content))


def _fillings(session: Session, row: TestRigRow, most: int) -> Sequence[RigOilFilling]:
    statement = select(RigOilFilling).where(RigOilFilling.rig_id == row.id)
    newest = statement.order_by(col(RigOilFilling.changed_on).desc(), col(RigOilFilling.id).desc())
    return session.exec(newest.limit(most)).all()


def _oil(row: RigOilFilling) -> RigOil:
    return RigOil(
        name=row.name,
        viscosity_mm2_s=Decimal(row.viscosity_mm2_s),
        changed_on=row.changed_on,
        bulk_modulus_gpa=_decimal(row.bulk_modulus_gpa),
    )


def _rig(row: TestRigRow, gauges: tuple[str, ...], oil: RigOil | None) -> TestRig:
    springs = None
    if row.springs:
        lower, upper = Decimal(row.spring_lower_n or 0), Decimal(row.spring_upper_n or 0)
        springs = ClampSprings(count=row.springs, lower_n=lower, upper_n=upper)
    line = BlankedLine(
        pressure_bar=Decimal(row.line_pressure_bar),
        hold_s=row.line_hold_s,
        drop_max_bar=Decimal(row.line_drop_max_bar),
    )
    return TestRig(
        code=row.code,
        unit=row.unit,
        gauges=gauges,
        line=line,
        springs=springs,
        oil=oil,
        oil_days=row.oil_days,
        volume_cm3=_decimal(row.volume_cm3),
        in_use=row.in_use,
    )


def _decimal(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)
