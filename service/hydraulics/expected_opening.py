"""The opening pressure to expect after the next time in service, held against the band that is wanted. Bar, hours."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from service.hydraulics.disc_search import PressureBand
from service.hydraulics.pressure_drift import DriftForecast


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


@dataclass(frozen=True, slots=True)
class ExpectedOpening:
    """The pressure as left with the drift's change and its interval of 95 %, bar.

    `supposed`: it has not been set since it was found last, and is taken to be set to what the band aims at.
    """

    change: DriftForecast
    as_left_bar: float
    band: PressureBand
    supposed: bool = False

    @property
    def bar(self) -> float:
        """What is expected."""
        return self.as_left_bar + self.change.change_bar

    @property
    def lower_bar(self) -> float:
        """The interval's lower end."""
        return self.as_left_bar + self.change.lower_bar

    @property
    def upper_bar(self) -> float:
        """The interval's upper end."""
        return self.as_left_bar + self.change.upper_bar

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
        limit = self.band.lower_bar if self.change.change_bar < 0 else self.band.upper_bar
        return self.change.hours * (float(limit) - self.as_left_bar) / self.change.change_bar


def expected_opening(change: DriftForecast, as_left_bar: Decimal | None, band: PressureBand) -> ExpectedOpening:
    """What an injector left so is likely to open at, from what was recorded; None where it is not set yet."""
    left = band.target_bar if as_left_bar is None else as_left_bar
    return ExpectedOpening(change, float(left), band, supposed=as_left_bar is None)
