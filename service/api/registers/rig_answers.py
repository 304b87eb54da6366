"""What is answered on a test rig: its card, its oil, its checks; and the rig as a bench run keeps it."""

from datetime import date, datetime

from service.api.bodies import Answer, Exact
from service.records.rig_reads import KnownRig, PastCheck, PastFilling
from service.workshop.test_rig import CheckOfTheDay, RigOil, RigUse
from service.workshop.vocabulary import VerdictKind


class RigOilAnswer(Answer):
    """Test oil: viscosity at 40 °C, bulk modulus null where it is not known."""

    name: str
    viscosity_mm2_s: Exact
    bulk_modulus_gpa: Exact | None
    changed_on: date


class RigFillingAnswer(RigOilAnswer):
    """Oil that was put in, and who recorded it."""

    recorded_at: datetime
    by: str


class CheckedTodayAnswer(Answer):
    """The newest check of today."""

    at: datetime
    by: str
    good: bool


class RigAnswer(Answer):
    """A test rig. Pressures in bar, forces in N, whatever its dial shows (`unit`); `oil_due` is the oil's last day.

    `checked_today` null: a run started now is indicative, as it is after a check that was not good.
    """

    code: str
    description: str
    unit: str
    gauges: list[str]
    line_pressure_bar: Exact
    line_hold_s: int
    line_drop_max_bar: Exact
    springs: int
    spring_lower_n: Exact | None
    spring_upper_n: Exact | None
    oil_days: int | None
    volume_cm3: Exact | None
    in_use: bool
    oil: RigOilAnswer | None
    oil_due: date | None
    checked_today: CheckedTodayAnswer | None
    version: int


class CheckLineAnswer(Answer):
    """One thing that was checked, with its verdict and reason."""

    what: str
    verdict: VerdictKind
    sentence: str


class RigCheckAnswer(Answer):
    """A daily check as it was recorded and judged; good where every line conforms."""

    at: datetime
    by: str
    good: bool
    gauge: str
    start_bar: Exact
    end_bar: Exact
    held_s: int
    tester: str | None
    forces_n: list[Exact]
    lines: list[CheckLineAnswer]
    rule: str
    remark: str


class RigUseAnswer(Answer):
    """The rig as it stood when a run began; `checked_at` null where it had not been checked that day."""

    code: str
    unit: str
    oil: RigOilAnswer | None
    volume_cm3: Exact | None
    checked_at: datetime | None
    checked_by: str
    check_good: bool


def rig_answer(known: KnownRig) -> RigAnswer:
    """A rig as it stands today."""
    rig, springs = known.rig, known.rig.springs
    return RigAnswer(
        code=rig.code,
        description=known.description,
        unit=rig.unit,
        gauges=list(rig.gauges),
        line_pressure_bar=rig.line.pressure_bar,
        line_hold_s=rig.line.hold_s,
        line_drop_max_bar=rig.line.drop_max_bar,
        springs=springs.count if springs else 0,
        spring_lower_n=springs.lower_n if springs else None,
        spring_upper_n=springs.upper_n if springs else None,
        oil_days=rig.oil_days,
        volume_cm3=rig.volume_cm3,
        in_use=rig.in_use,
        oil=oil_answer(rig.oil),
        oil_due=rig.oil_due,
        checked_today=_checked(known.check),
        version=known.version,
    )


def oil_answer(oil: RigOil | None) -> RigOilAnswer | None:
    """The oil in a rig."""
    return None if oil is None else RigOilAnswer.model_validate(oil)


def filling_answer(past: PastFilling) -> RigFillingAnswer:
    """A filling of oil."""
    oil = RigOilAnswer.model_validate(past.oil)
    return RigFillingAnswer(**oil.model_dump(), recorded_at=past.recorded_at, by=past.person)


def check_answer(past: PastCheck) -> RigCheckAnswer:
    """A daily check."""
    check = past.check
    springs = check.springs
    return RigCheckAnswer(
        at=past.at,
        by=past.person,
        good=check.good,
        gauge=check.line.gauge.code,
        start_bar=check.line.start_bar,
        end_bar=check.line.end_bar,
        held_s=check.line.held_s,
        tester=springs.tester.code if springs else None,
        forces_n=list(springs.forces_n) if springs else [],
        lines=[CheckLineAnswer.model_validate(line) for line in check.found],
        rule=check.rule,
        remark=check.remark,
    )


def rig_use_answer(use: RigUse | None) -> RigUseAnswer | None:
    """The rig of a bench run, None where its gauge belonged to none."""
    return None if use is None else RigUseAnswer.model_validate(use)


def _checked(check: CheckOfTheDay | None) -> CheckedTodayAnswer | None:
    return None if check is None else CheckedTodayAnswer(at=check.at, by=check.person, good=check.good)
