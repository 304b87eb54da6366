"""What a millimetre of disc does to the opening pressure: by the geometry, or by the workshop's own adjustments."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from service.hydraulics.robust_line import theil_sen
from service.metrology.typed_numbers import plain

LEAST_ADJUSTMENTS = 5
MOST_ADJUSTMENTS = 60
"""The newest so many count: more would not narrow the interval by anything that matters at the bench."""
WIDEST_SHARE = Decimal("0.25")
"""An interval that reaches further than this to either side of its slope is too wide to set a pressure by."""


@dataclass(frozen=True, slots=True)
class Adjustment:
    """One change of discs: by how much their thickness grew, mm, and by how much the opening pressure did, bar."""

    change_mm: Decimal
    change_bar: Decimal


@dataclass(frozen=True, slots=True)
class OwnSlope:
    """Bar for each mm as the own adjustments show it, the interval of 95 %, and how many adjustments those are."""

    bar_per_mm: Decimal
    lower_bar_per_mm: Decimal
    upper_bar_per_mm: Decimal
    adjustments: int

    @property
    def usable(self) -> bool:
        """Above zero as a whole, and narrow enough to set a pressure by."""
        reach = max(self.upper_bar_per_mm - self.bar_per_mm, self.bar_per_mm - self.lower_bar_per_mm)
        return self.lower_bar_per_mm > 0 and reach <= WIDEST_SHARE * self.bar_per_mm


@dataclass(frozen=True, slots=True)
class SlopeChoice:
    """The slope to reckon with, where it comes from, and why that one; the interval only of own adjustments."""

    bar_per_mm: Decimal
    source: Literal["geometry", "own-adjustments"]
    why: str
    lower_bar_per_mm: Decimal | None = None
    upper_bar_per_mm: Decimal | None = None


def own_slope(adjustments: Sequence[Adjustment]) -> OwnSlope | None:
    """The robust slope of the adjustments (the newest last), None of fewer than five.

    The line begins where nothing is changed, which is one point more and certain. So adjustments that were all made
    with one thickness of disc have a slope too. Those that left the thickness as it was say nothing and are left out.
    """
    told = [one for one in adjustments if one.change_mm][-MOST_ADJUSTMENTS:]
    if len(told) < LEAST_ADJUSTMENTS:
        return None
    nothing = (Decimal(0), Decimal(0))
    found = theil_sen([nothing, *((one.change_mm, one.change_bar) for one in told)])
    return OwnSlope(found.slope, found.lower, found.upper, len(told))


def choose_slope(geometry_bar_per_mm: Decimal | None, adjustments: Sequence[Adjustment]) -> SlopeChoice | None:
    """Which of the two slopes is used and why, None where there is neither.

    Five own adjustments with a narrow interval come first: they hold all that a drawing leaves out. Otherwise the
    geometry, where the limit sheet gives it; where it does not, the own adjustments as wide as they are.
    """
    own = own_slope(adjustments)
    if own is not None and (own.usable or (geometry_bar_per_mm is None and own.bar_per_mm > 0)):
        return SlopeChoice(
            own.bar_per_mm,
            "own-adjustments",
            f"{_told(own)}. {_compared(own, geometry_bar_per_mm)}",
            own.lower_bar_per_mm,
            own.upper_bar_per_mm,
        )
    if geometry_bar_per_mm is None:
        return None
    return SlopeChoice(geometry_bar_per_mm, "geometry", _why_geometry(own, adjustments))


def _told(own: OwnSlope) -> str:
    return (
        f"{own.adjustments} own adjustments on this type give {_bar(own.bar_per_mm)} bar for each mm of disc, "
        f"with 95 % between {_bar(own.lower_bar_per_mm)} and {_bar(own.upper_bar_per_mm)}"
    )


def _compared(own: OwnSlope, geometry: Decimal | None) -> str:
    if geometry is None:
        wide = "" if own.usable else " They scatter widely: set it in small steps."
        return f"They are used, since the limit sheet gives no spring rate and diameters.{wide}"
    if own.lower_bar_per_mm <= geometry <= own.upper_bar_per_mm:
        return f"They are used, since they hold what a drawing leaves out; the geometry's {_bar(geometry)} agrees."
    return (
        f"They are used, since they are what happened. The geometry's {_bar(geometry)} lies outside: check the spring "
        "rate and the diameters on the limit sheet."
    )


def _why_geometry(own: OwnSlope | None, adjustments: Sequence[Adjustment]) -> str:
    reckoned = "Reckoned from the spring rate and the diameters of the limit sheet"
    if own is None:
        count = sum(1 for one in adjustments if one.change_mm)
        there = "no own adjustment" if not count else "one own adjustment" if count == 1 else f"{count} own adjustments"
        return f"{reckoned}: {there} on this type so far, and {LEAST_ADJUSTMENTS} are wanted."
    return f"{reckoned}, since own adjustments scatter too widely: {_told(own)}."


def _bar(value: Decimal) -> str:
    return plain(value.quantize(Decimal("0.1") if abs(value) < 100 else Decimal(1)))
