"""How the opening pressure of one injector drifts in service, and what it is likely to be found at next time.

From one overhaul to the next it leaves with one pressure and comes back with another. A straight line through those
changes begins at nothing: after no hours nothing has changed. Pressures in bar, hours of running.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.hydraulics.errors import HydraulicsError

LEAST_PERIODS = 3
"""With fewer the interval says nothing: one degree of freedom alone makes it thirteen times as wide as its scatter."""
CONFIDENCE = 0.95


@dataclass(frozen=True, slots=True)
class ServicePeriod:
    """One time in service: for how many hours, with which opening pressure it left, with which it came back, bar."""

    hours: float
    as_left_bar: float
    as_found_bar: float

    @property
    def change_bar(self) -> float:
        """What the hours did to the pressure, bar; negative where it fell."""
        return self.as_found_bar - self.as_left_bar


def service_period(hours: int, as_left_bar: Decimal, as_found_bar: Decimal) -> ServicePeriod:
    """One time in service from what was recorded, in the numbers that a line is drawn through."""
    return ServicePeriod(hours, float(as_left_bar), float(as_found_bar))


@dataclass(frozen=True, slots=True)
class DriftForecast:
    """The change to expect over so many hours with its prediction interval of 95 %, bar."""

    hours: float
    change_bar: float
    lower_bar: float
    upper_bar: float
    periods: int

    @property
    def bar_per_1000_h(self) -> float:
        """The slope of the line, in figures that people compare."""
        return 1000 * self.change_bar / self.hours


def drift_forecast(periods: Sequence[ServicePeriod], hours: float) -> DriftForecast | None:
    """The change over the next `hours`, None of fewer than three periods.

    Least squares of a line through nothing: b = Σ h·Δp / Σ h², s² = Σ (Δp - b·h)² / (n - 1); the prediction interval
    of one further change is b·h ± t · s · √(1 + h² / Σ h²) (Montgomery, Peck, Vining, Introduction to Linear
    Regression Analysis, no-intercept model; from memory). Raises HydraulicsError with code `hours-not-positive`.
    """
    from scipy.stats import t  # loads with the first forecast: the server starts without it

    if hours <= 0 or any(period.hours <= 0 for period in periods):
        raise HydraulicsError("hours-not-positive", "Hours in service lie above zero: check the overhauls.", "hours")
    if len(periods) < LEAST_PERIODS:
        return None
    weight = sum(period.hours**2 for period in periods)
    slope = sum(period.hours * period.change_bar for period in periods) / weight
    freedom = len(periods) - 1
    scatter = (sum((period.change_bar - slope * period.hours) ** 2 for period in periods) / freedom) ** 0.5
    reach = float(t.ppf((1 + CONFIDENCE) / 2, freedom)) * scatter * (1 + hours**2 / weight) ** 0.5
    change = slope * hours
    return DriftForecast(hours, change, change - reach, change + reach, len(periods))
