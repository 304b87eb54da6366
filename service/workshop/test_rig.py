"""A test rig of the workshop: its gauges, its oil, what its daily check asks, and whether a run on it may count."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta
from decimal import Decimal

PRESSURE_UNITS = ("bar", "MPa", "kgf/cm²", "psi")
"""What the dial of a rig may be divided in; everything is stored in bar."""
HIGHEST_BAR = Decimal(3000)
"""No test rig pumps higher: a pressure above is a slip of the pen (common practice, no source)."""
LONGEST_S = 3600
"""Nobody holds, flushes or catches oil for more than an hour (common practice, no source)."""


@dataclass(frozen=True, kw_only=True)
class RigOil:
    """The test oil in the rig: viscosity in mm²/s at 40 °C (ISO 3104), bulk modulus in GPa where it is known."""

    name: str
    viscosity_mm2_s: Decimal
    changed_on: date
    bulk_modulus_gpa: Decimal | None = None


@dataclass(frozen=True, kw_only=True)
class BlankedLine:
    """With the outlet blanked the line holds `pressure_bar` for `hold_s` and loses at most `drop_max_bar`."""

    pressure_bar: Decimal
    hold_s: int
    drop_max_bar: Decimal


@dataclass(frozen=True, kw_only=True)
class ClampSprings:
    """So many springs hold the injector down, each with a force (N) between the two at its working length."""

    count: int
    lower_n: Decimal
    upper_n: Decimal


@dataclass(frozen=True, kw_only=True)
class RigUse:
    """The rig as it stood when a run began: an entry keeps it, and the certificate prints it.

    `checked_at` is the moment of the newest check of that day, None where there was none.
    """

    code: str
    unit: str
    oil: RigOil | None = None
    volume_cm3: Decimal | None = None
    checked_at: datetime | None = None
    checked_by: str = ""
    check_good: bool = False


@dataclass(frozen=True)
class CheckOfTheDay:
    """The newest check of a rig on a day, as far as a run asks."""

    at: datetime
    person: str
    good: bool


@dataclass(frozen=True, kw_only=True)
class TestRig:
    """One rig. `unit` is what its dial shows; `oil_days` how long its oil lasts, None where nobody set an interval."""

    __test__ = False  # an asset, not a test class

    code: str
    unit: str
    gauges: tuple[str, ...]
    line: BlankedLine
    springs: ClampSprings | None = None
    oil: RigOil | None = None
    oil_days: int | None = None
    volume_cm3: Decimal | None = None
    """Volume under pressure between pump and nozzle, for the leak that a falling pressure stands for."""
    in_use: bool = True

    @property
    def oil_due(self) -> date | None:
        """The last day of the oil; None without an interval or without oil."""
        return None if self.oil is None else last_day_of_oil(self.oil.changed_on, self.oil_days)

    def used(self, check: CheckOfTheDay | None) -> RigUse:
        """The rig as a run keeps it, with the newest check of its day."""
        return RigUse(
            code=self.code,
            unit=self.unit,
            oil=self.oil,
            volume_cm3=self.volume_cm3,
            checked_at=None if check is None else check.at,
            checked_by="" if check is None else check.person,
            check_good=check is not None and check.good,
        )


def last_day_of_oil(changed_on: date, days: int | None) -> date | None:
    """The last day of an oil that lasts so many days; None where nobody set an interval."""
    return None if days is None else changed_on + timedelta(days=days)


def why_indicative(rig: TestRig | None, check: CheckOfTheDay | None, on: date) -> str:
    """Why a run begun on that day supports no release; '' where it may. `check` is the newest of that day."""
    if rig is None:
        return "The gauge belongs to no test rig of the register, so nothing shows that the rig was fit."
    if check is None:
        return f"Rig {rig.code} had not been checked on {on}."
    if not check.good:
        return f"The newest check of rig {rig.code} on {on} was not good."
    return ""


def why_not_continued(rig: RigUse, check: CheckOfTheDay | None, begun: date, on: date) -> str:
    """Why a run that is to prove something takes no step on that day; '' where it does. `check` is its newest then.

    A good check speaks for its own day only, so a run that goes on another day wants one of that day.
    """
    if begun == on or (check is not None and check.good):
        return ""
    return (
        f"This run was begun on {begun}, and rig {rig.code} has no good check of today, {on}: check the rig, then go "
        "on, or start a new run."
    )
