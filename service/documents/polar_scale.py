"""The scale of a polar plot: the size of the section is drawn small, its form magnified against it."""

import math
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from service.metrology.measured_points import Floats
from service.metrology.roundness import ReferenceCircle
from service.metrology.typed_numbers import plain

MIDDLE = 200.0  # of the plot, in units of the drawing
BASE = 106.0  # where the radius midway of everything drawn lies
REACH = 54.0  # how far the form may go from there
_LONGEST_BAR = 70.0
LEAST_FORM = 1e-7  # of the radius: a perfect circle has no form to magnify


@dataclass(frozen=True, slots=True)
class PolarScale:
    """`midway_mm` is drawn at `BASE`; a millimetre of form takes `gain` units of the drawing."""

    midway_mm: float
    gain: float
    magnification: float

    def drawn(self, radii_mm: Floats) -> Floats:
        """Radii of the drawing."""
        return np.asarray(BASE + self.gain * (radii_mm - self.midway_mm), dtype=np.float64)

    @property
    def bar_um(self) -> Decimal:
        """Length of the scale bar in µm: 1, 2 or 5 of a power of ten."""
        return _round_number(_LONGEST_BAR / self.gain * 1000)

    @property
    def bar_drawn(self) -> float:
        """Length of the scale bar in the drawing."""
        return float(self.bar_um) / 1000 * self.gain


def polar_scale(lowest_mm: float, highest_mm: float) -> PolarScale:
    """A scale that takes radii between these two, magnified by 1, 2 or 5 of a power of ten."""
    midway = (lowest_mm + highest_mm) / 2
    half = max((highest_mm - lowest_mm) / 2, LEAST_FORM * midway)
    magnification = float(_round_number(REACH / half / (BASE / midway)))
    return PolarScale(midway, magnification * BASE / midway, magnification)


def circle_radii(circle_at: tuple[float, float], radius_mm: float, angles_rad: Floats) -> Floats | None:
    """Radius of a circle in each direction as seen from a place that is `circle_at` off its centre, in mm.

    None where the place is outside of the circle, which then has no radius in some directions.
    """
    off = math.hypot(*circle_at)
    if off >= radius_mm:
        return None
    turned = angles_rad - math.atan2(circle_at[1], circle_at[0])
    return np.asarray(off * np.cos(turned) + np.sqrt(radius_mm**2 - (off * np.sin(turned)) ** 2), dtype=np.float64)


def offset(circle: ReferenceCircle, centre: ReferenceCircle) -> tuple[float, float]:
    """Where a circle's centre lies, seen from another's."""
    return circle.x_mm - centre.x_mm, circle.y_mm - centre.y_mm


def in_um(length_mm: float) -> str:
    """A length of form in µm to four digits, without an exponent."""
    return plain(Decimal(f"{length_mm * 1000:.4g}"))


def _round_number(largest: float) -> Decimal:
    """The largest 1, 2 or 5 of a power of ten that is not over this."""
    power = Decimal(1).scaleb(math.floor(math.log10(largest) + 1e-9))
    digit = next(digit for digit in (5, 2, 1) if digit * power <= Decimal(largest) * Decimal("1.000001") or digit == 1)
    return digit * power
