"""What an injector is likely to open at when its next overhaul is due, held against the band of its limit sheet."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from service.hydraulics.disc_search import PressureBand
from service.hydraulics.pressure_drift import DriftForecast, drift_forecast, service_period
from service.workshop.limit_sheet import LimitSheet
from service.workshop.opening_history import OpeningVisit, times_in_service, usual_hours


class DueBy(StrEnum):
    """What says after how many hours the next overhaul is due."""

    LIMIT_SHEET = "limit-sheet"
    OWN_HOURS = "own-hours"


class Outlook(StrEnum):
    """How the pressure expected at the next overhaul lies to the band in force."""

    INSIDE = "inside"
    """The whole interval does."""
    MAY_LEAVE = "may-leave"
    """What is expected lies inside, its interval reaches out."""
    LEAVES = "leaves"
    """What is expected lies outside."""
    LEFT_OUTSIDE = "left-outside"
    """It was outside already as it left, by the sheet in force now."""


@dataclass(frozen=True, kw_only=True)
class NextDue:
    """When the next overhaul is due, running hours after the last one, and by what that is known."""

    hours: int
    by: DueBy


@dataclass(frozen=True, kw_only=True)
class ComingDrift:
    """What the time in service until the next overhaul is likely to do to the pressure.

    `longest_hours` is the longest time in service that it is known from: beyond it the line is only drawn on.
    """

    due: NextDue
    change: DriftForecast
    longest_hours: int

    @property
    def drawn_on(self) -> bool:
        """Whether the next overhaul lies further off than the injector has ever run between two."""
        return self.due.hours > self.longest_hours


@dataclass(frozen=True, kw_only=True)
class ExpectedOpening:
    """At the next overhaul, bar: the pressure as left with the drift's change and its interval of 95 %."""

    coming: ComingDrift
    as_left_bar: float
    band: PressureBand

    @property
    def bar(self) -> float:
        """What is expected."""
        return self.as_left_bar + self.coming.change.change_bar

    @property
    def lower_bar(self) -> float:
        """The interval's lower end."""
        return self.as_left_bar + self.coming.change.lower_bar

    @property
    def upper_bar(self) -> float:
        """The interval's upper end."""
        return self.as_left_bar + self.coming.change.upper_bar

    @property
    def outlook(self) -> Outlook:
        """Whether the band will be left before the next overhaul."""
        low, high = float(self.band.lower_bar), float(self.band.upper_bar)
        if not low <= self.as_left_bar <= high:
            return Outlook.LEFT_OUTSIDE
        if not low <= self.bar <= high:
            return Outlook.LEAVES
        return Outlook.INSIDE if low <= self.lower_bar and self.upper_bar <= high else Outlook.MAY_LEAVE

    @property
    def leaves_after_hours(self) -> float | None:
        """Where the line crosses the band's limit, running hours after the last overhaul; None where it stays."""
        if self.outlook is not Outlook.LEAVES:
            return None
        limit = self.band.lower_bar if self.coming.change.change_bar < 0 else self.band.upper_bar
        return self.coming.due.hours * (float(limit) - self.as_left_bar) / self.coming.change.change_bar


def next_due(visits: Sequence[OpeningVisit], sheet: LimitSheet | None) -> NextDue | None:
    """The hours that the limit sheet states, since the maker knows the engine; else the mean of the injector's own."""
    if sheet is not None and sheet.overhaul_hours is not None:
        return NextDue(hours=sheet.overhaul_hours, by=DueBy.LIMIT_SHEET)
    usual = usual_hours(visits)
    return None if usual is None else NextDue(hours=usual, by=DueBy.OWN_HOURS)


def coming_drift(visits: Sequence[OpeningVisit], sheet: LimitSheet | None) -> ComingDrift | None:
    """What the next time in service is likely to do; None where too few of them are known."""
    periods, due = times_in_service(visits), next_due(visits, sheet)
    if due is None:
        return None
    told = [service_period(one.hours, one.as_left_bar, one.as_found_bar) for one in periods]
    change = drift_forecast(told, due.hours)
    if change is None:
        return None
    return ComingDrift(due=due, change=change, longest_hours=max(one.hours for one in periods))


def expected_opening(visits: Sequence[OpeningVisit], sheet: LimitSheet | None) -> ExpectedOpening | None:
    """What it is likely to open at; None as for `coming_drift`, and where its last pressure as left is not known."""
    coming = coming_drift(visits, sheet)
    left = visits[-1].as_left_bar if visits else None
    if coming is None or left is None or sheet is None:
        return None
    return ExpectedOpening(coming=coming, as_left_bar=float(left), band=band_of(sheet))


def band_of(sheet: LimitSheet) -> PressureBand:
    """The band of the sheet's test plan."""
    plan = sheet.test_plan
    return PressureBand(plan.opening_lower_bar, plan.opening_set_bar, plan.opening_upper_bar)
