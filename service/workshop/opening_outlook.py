"""When the next overhaul of an injector is due, and what it is then likely to open at by what its past ones tell."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from service.hydraulics.disc_search import PressureBand
from service.hydraulics.expected_opening import ExpectedOpening, expected_opening
from service.hydraulics.pressure_drift import DriftForecast, drift_forecast, service_period
from service.workshop.limit_sheet import LimitSheet
from service.workshop.opening_history import OpeningVisit, times_in_service, usual_hours


class DueBy(StrEnum):
    """What says after how many hours the next overhaul is due."""

    LIMIT_SHEET = "limit-sheet"
    OWN_HOURS = "own-hours"


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


def expected_at_next(visits: Sequence[OpeningVisit], sheet: LimitSheet | None) -> ExpectedOpening | None:
    """What it is likely to open at, set as the sheet wants it where it has not been set yet; None as `coming_drift`."""
    coming = coming_drift(visits, sheet)
    if coming is None or sheet is None:
        return None
    return expected_opening(coming.change, visits[-1].as_left_bar, band_of(sheet))


def band_of(sheet: LimitSheet) -> PressureBand:
    """The band of the sheet's test plan."""
    plan = sheet.test_plan
    return PressureBand(plan.opening_lower_bar, plan.opening_set_bar, plan.opening_upper_bar)
