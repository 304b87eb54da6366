"""Opening pressure from several strokes of the test rig: mean, scatter, and whether it lies in its limits."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.hydraulics.errors import HydraulicsError
from service.metrology.typed_numbers import plain

LEAST_STROKES = 3
"""Strokes that an opening pressure is read from at the least: common practice, no source."""


@dataclass(frozen=True, slots=True)
class OpeningPressure:
    """The strokes of one run in their order, gauge pressures in bar."""

    strokes_bar: tuple[Decimal, ...]

    @property
    def mean_bar(self) -> Decimal:
        """Arithmetic mean, bar, to 28 digits."""
        return sum(self.strokes_bar, Decimal(0)) / len(self.strokes_bar)

    @property
    def lowest_bar(self) -> Decimal:
        """The stroke that opened first, bar."""
        return min(self.strokes_bar)

    @property
    def highest_bar(self) -> Decimal:
        """The stroke that opened last, bar."""
        return max(self.strokes_bar)

    @property
    def spread_bar(self) -> Decimal:
        """Highest less lowest, bar."""
        return self.highest_bar - self.lowest_bar


@dataclass(frozen=True, slots=True)
class OpeningAgainstLimits:
    """What the limits say of an opening pressure, each limit by itself."""

    too_low: bool
    too_high: bool
    too_scattered: bool

    @property
    def within(self) -> bool:
        """Whether nothing is wrong."""
        return not (self.too_low or self.too_high or self.too_scattered)


def opening_pressure(strokes_bar: Sequence[Decimal], least_strokes: int = LEAST_STROKES) -> OpeningPressure:
    """The opening pressure of at least `least_strokes` strokes, gauge pressures in bar.

    Raises HydraulicsError with code `too-few-strokes` or `pressure-not-positive`, naming the stroke.
    """
    if least_strokes < 1:
        raise HydraulicsError(
            "too-few-strokes",
            "An opening pressure needs at least one stroke: correct the test plan.",
            "strokes_bar",
        )
    for number, pressure in enumerate(strokes_bar, start=1):
        if not pressure.is_finite() or pressure <= 0:
            raise HydraulicsError(
                "pressure-not-positive",
                f"Stroke {number} reads {plain(pressure)} bar: an opening pressure is over zero, so read it again.",
                "strokes_bar",
            )
    if len(strokes_bar) < least_strokes:
        raise HydraulicsError(
            "too-few-strokes",
            f"The opening pressure has {len(strokes_bar)} of at least {least_strokes} strokes: "
            f"make {least_strokes - len(strokes_bar)} more.",
            "strokes_bar",
        )
    return OpeningPressure(tuple(strokes_bar))


def against_limits(
    opening: OpeningPressure,
    lower_bar: Decimal | None,
    upper_bar: Decimal | None,
    spread_limit_bar: Decimal | None,
) -> OpeningAgainstLimits:
    """Hold every stroke against the limits and the scatter against its own, bar; a limit itself is allowed.

    No stroke may lie outside, not only the mean: a valve that opens early once does so in the engine too
    (common practice, no source). Raises HydraulicsError with code `limits-crossed`.
    """
    if lower_bar is not None and upper_bar is not None and lower_bar > upper_bar:
        raise HydraulicsError(
            "limits-crossed",
            f"The lower limit {plain(lower_bar)} bar is above the upper limit {plain(upper_bar)} bar: "
            "correct the limit sheet.",
            "limits",
        )
    return OpeningAgainstLimits(
        too_low=lower_bar is not None and opening.lowest_bar < lower_bar,
        too_high=upper_bar is not None and opening.highest_bar > upper_bar,
        too_scattered=spread_limit_bar is not None and opening.spread_bar > spread_limit_bar,
    )
