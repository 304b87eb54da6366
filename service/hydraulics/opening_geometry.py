"""Opening pressure from the spring and the two diameters it works against. N, mm, N/mm; gauge pressures in bar.

Shut, the pressure lifts on the ring between seat and guide; lifted, on the whole guide. The pressure on the seat's
own area and the force of a lifted needle's further compression are left out, as is usual for a setting.
"""

from dataclasses import dataclass
from decimal import Context, Decimal

from service.hydraulics.errors import HydraulicsError
from service.metrology.typed_numbers import plain

_PI = Decimal("3.141592653589793238462643383")
BAR_PER_N_MM2 = Decimal(10)
"""1 N/mm² is 1 MPa, which is 10 bar exactly (SI Brochure)."""
MOST_RATE_N_PER_MM = Decimal(100_000)
LARGEST_MM = Decimal(500)
_TWELVE_DIGITS = Context(prec=12)


@dataclass(frozen=True, slots=True)
class NeedleGeometry:
    """Spring rate, N/mm, and the diameters of guide and seat, mm."""

    rate_n_per_mm: Decimal
    guide_mm: Decimal
    seat_mm: Decimal

    @property
    def guide_area_mm2(self) -> Decimal:
        """Area on which the pressure holds the lifted needle up, mm²."""
        return _PI * self.guide_mm**2 / 4

    @property
    def lifting_area_mm2(self) -> Decimal:
        """Area on which the pressure lifts the shut needle: guide less seat, mm²."""
        return _PI * (self.guide_mm**2 - self.seat_mm**2) / 4

    @property
    def bar_per_mm(self) -> Decimal:
        """What one millimetre of disc raises the opening pressure by, bar: Δp = k·Δt / A."""
        return BAR_PER_N_MM2 * self.rate_n_per_mm / self.lifting_area_mm2

    def force_n(self, opening_bar: Decimal) -> Decimal:
        """The spring's force behind an opening pressure, N."""
        return opening_bar * self.lifting_area_mm2 / BAR_PER_N_MM2

    def closing_bar(self, opening_bar: Decimal) -> Decimal:
        """The pressure at which the needle shuts again, bar: the same force, now against the whole guide."""
        return opening_bar * self.lifting_area_mm2 / self.guide_area_mm2


@dataclass(frozen=True, slots=True)
class OpeningFromSpring:
    """What a preload gives: opening and closing pressure, bar, and bar for each millimetre of disc."""

    opening_bar: Decimal
    closing_bar: Decimal
    bar_per_mm: Decimal


@dataclass(frozen=True, slots=True)
class SpringSet:
    """What a spring has lost against new: force, N, its share of the new force, and the length that makes it up, mm.

    Negative where the spring is stronger than the new one.
    """

    lost_n: Decimal
    lost_percent: Decimal
    set_mm: Decimal


def twelve_digits(value: Decimal) -> Decimal:
    """The value as programs are answered: far finer than any gauge, and without the last digits of a division by π."""
    return _TWELVE_DIGITS.plus(value)


def needle_geometry(rate_n_per_mm: Decimal, guide_mm: Decimal, seat_mm: Decimal) -> NeedleGeometry:
    """Rate, guide and seat, checked. A seat of 0 is a plain relief valve, which opens and shuts at one pressure.

    Raises HydraulicsError with code `rate-absurd`, `diameter-absurd` or `seat-not-smaller`, its field one of
    `rate`, `guide`, `seat`.
    """
    if not (rate_n_per_mm.is_finite() and 0 < rate_n_per_mm <= MOST_RATE_N_PER_MM):
        raise HydraulicsError(
            "rate-absurd",
            f"The spring rate reads {plain(rate_n_per_mm)} N/mm, but lies above 0 and up to "
            f"{plain(MOST_RATE_N_PER_MM)} N/mm: check the number and its unit.",
            "rate",
        )
    for field, diameter, lowest_given in (("guide", guide_mm, False), ("seat", seat_mm, True)):
        if not (diameter.is_finite() and 0 <= diameter <= LARGEST_MM and (lowest_given or diameter > 0)):
            raise HydraulicsError(
                "diameter-absurd",
                f"The {field} diameter reads {plain(diameter)} mm, but lies {'at' if lowest_given else 'above'} 0 "
                f"and up to {plain(LARGEST_MM)} mm: check the number and its unit.",
                field,
            )
    if seat_mm >= guide_mm:
        raise HydraulicsError(
            "seat-not-smaller",
            f"The seat of {plain(seat_mm)} mm is not smaller than the guide of {plain(guide_mm)} mm, so no pressure "
            "lifts the needle: check which of the two is which.",
            "seat",
        )
    return NeedleGeometry(rate_n_per_mm, guide_mm, seat_mm)


def opening_from_spring(geometry: NeedleGeometry, preload_mm: Decimal) -> OpeningFromSpring:
    """Opening and closing pressure of a spring compressed by `preload_mm` (Hooke's law: F = k·t).

    Raises HydraulicsError with code `preload-absurd`, field `preload`.
    """
    if not (preload_mm.is_finite() and 0 <= preload_mm <= LARGEST_MM):
        raise HydraulicsError(
            "preload-absurd",
            f"The preload reads {plain(preload_mm)} mm, but lies at 0 and up to {plain(LARGEST_MM)} mm: "
            "give by how much the fitted spring is shorter than the free one.",
            "preload",
        )
    opening = geometry.bar_per_mm * preload_mm
    closing = BAR_PER_N_MM2 * geometry.rate_n_per_mm * preload_mm / geometry.guide_area_mm2
    return OpeningFromSpring(opening, closing, geometry.bar_per_mm)


def spring_set(rate_n_per_mm: Decimal, new_n: Decimal, now_n: Decimal) -> SpringSet:
    """Loss of force against new at one fitted length, N, and the set behind it: mm = lost force ÷ rate.

    Raises HydraulicsError with code `force-absurd`, field `force`, where a force is not above zero, or `rate-absurd`.
    """
    if not (rate_n_per_mm.is_finite() and rate_n_per_mm > 0):
        raise HydraulicsError("rate-absurd", "The spring rate is above zero: check the limit sheet.", "rate")
    if not (new_n.is_finite() and now_n.is_finite() and new_n > 0 and now_n > 0):
        raise HydraulicsError(
            "force-absurd",
            f"The spring's forces read {plain(new_n)} N new and {plain(now_n)} N now: both lie above zero.",
            "force",
        )
    lost = new_n - now_n
    return SpringSet(lost, 100 * lost / new_n, lost / rate_n_per_mm)
