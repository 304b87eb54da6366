"""How well a hole is known from its photograph: one budget for each figure, by JCGM 100 (GUM).

What counts: the scale; the scatter of the edge points, over as many points as are independent; the place in the
blurred edge that is called the edge (the camera's tone curve, a rim that is not sharp); the draw of blur on a curved
edge, which is corrected and whose correction is known by half; the reading between pixels. What does not: a chamfer,
burr or soot at the rim, a camera not square on (a tilt of 2.5° makes a round hole 0.1 % oval), pixels not square.
"""

import math
from dataclasses import dataclass

from service.metrology.hole_image.findings import Contribution, Measured
from service.metrology.hole_image.profiles import filter_noise_gain
from service.metrology.hole_image.scale import Scale

K = 2.0  # 95 % of a normal distribution, rounded as usual (JCGM 100, 6.3.3)
K_OF_TWO = 2.45  # √5.99: 95 % of the chi-squared distribution with two degrees of freedom
_PLACE_IN_BLUR = 0.1  # half-width, in blurs, of where the edge lies in its blur; 4 % of the contrast
_BEND_KNOWN_BY = 0.5
_BETWEEN_PIXELS_PX = 0.03
_NOISE_PEAK_TO_VALLEY = 5.0  # in its deviations, what noise alone draws of a filtered profile (some 30 to 60 points)


@dataclass(frozen=True, slots=True)
class EdgeDoubt:
    """What the uncertainties come from: scatter, blur and radius in pixels, the independent points, the scale."""

    scatter_px: float
    independent_points: float
    blur_px: float
    radius_px: float
    scale: Scale

    @property
    def of_mean_px(self) -> float:
        """Standard uncertainty of the mean radius by the scatter, in pixels."""
        return self.scatter_px / math.sqrt(self.independent_points)

    @property
    def bend_px(self) -> float:
        """What blur draws the radius in, in pixels."""
        return self.blur_px**2 / (2 * self.radius_px)


def diameter(value_px: float, doubt: EdgeDoubt, *, one_direction: bool = False) -> Measured:
    """A diameter with its budget; one direction alone (an axis) is known less well than the mean of all.

    The radius at one angle of R + a·cos 2θ + b·sin 2θ has the variance of the mean and twice that again.
    """
    widening = math.sqrt(3.0) if one_direction else 1.0
    parts = {
        "scatter of the edge": 2 * doubt.of_mean_px * widening,
        "place of the edge in its blur": 2 * _rectangle(_PLACE_IN_BLUR * doubt.blur_px),
        "draw of blur on the curved edge": 2 * _rectangle(_BEND_KNOWN_BY * doubt.bend_px),
        "reading between pixels": _rectangle(2 * _BETWEEN_PIXELS_PX),
    }
    return _measured(value_px, parts, doubt.scale, K_OF_TWO if one_direction else K)


def ovality(value_px: float, doubt: EdgeDoubt) -> Measured:
    """A difference of diameters with its budget.

    It is four times the length of the vector (a2, b2): near zero only chance gives it a direction, so the coverage
    factor is that of two components.
    """
    parts = {
        "scatter of the edge": 4 * math.sqrt(2) * doubt.of_mean_px,
        "blur not the same in all directions": 2 * _rectangle(_BEND_KNOWN_BY * doubt.bend_px),
        "reading between pixels": _rectangle(2 * _BETWEEN_PIXELS_PX),
    }
    return _measured(value_px, parts, doubt.scale, K_OF_TWO)


def roundness(value_px: float, doubt: EdgeDoubt) -> Measured:
    """A peak-to-valley with its budget: noise moves peak and valley, and adds to the deviation of a round hole."""
    filtered = doubt.of_mean_px * math.sqrt(filter_noise_gain())
    parts = {
        "scatter of the edge": math.sqrt(2) * filtered,
        "noise read as form": _rectangle(_NOISE_PEAK_TO_VALLEY * filtered),
        "blur not the same in all directions": _rectangle(_BEND_KNOWN_BY * doubt.bend_px),
        "reading between pixels": _rectangle(2 * _BETWEEN_PIXELS_PX),
    }
    return _measured(value_px, parts, doubt.scale, K)


def _rectangle(half_width: float) -> float:
    """Standard uncertainty of a value that lies anywhere within ± a half-width (JCGM 100, 4.3.7)."""
    return half_width / math.sqrt(3)


def _measured(value_px: float, parts: dict[str, float], scale: Scale, k: float) -> Measured:
    """Value and budget in µm; all parts are independent, so their variances add (JCGM 100, 5.1.2)."""
    pitch = scale.um_per_pixel
    value_um = value_px * pitch
    in_picture = math.sqrt(sum(part**2 for part in parts.values()))
    of_scale = value_um * scale.relative
    budget = (Contribution("scale", of_scale), *(Contribution(name, part * pitch) for name, part in parts.items()))
    combined = math.hypot(of_scale, in_picture * pitch)
    return Measured(value_um, k * combined, value_px, k * in_picture, k, budget)
