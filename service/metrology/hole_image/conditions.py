"""What a photograph must be: the conditions the figures are stated for, the limits beyond which it is refused."""

from service.metrology.errors import MetrologyError

NOMINAL_DIAMETER_PX = (60.0, 800.0)
NOMINAL_BLUR_PX = (0.7, 3.0)
NOMINAL_BLUR_SHARE = 1 / 24
NOMINAL_CONTRAST = 0.30
NOMINAL_NOISE = 0.03
NOMINAL_NOISE_SHARE = 1 / 15
NOMINAL_SHARE_OF_SIDE = 1 / 20
NOMINAL_COVERAGE = 0.90
NOMINAL_OVALITY_SHARE = 0.10

SMALLEST_DIAMETER_PX = 40.0
SMALLEST_CONTRAST = 0.10
WIDEST_BLUR_PX = 8.0
WIDEST_BLUR_SHARE = 0.065
LEAST_COVERAGE = 0.70
LARGEST_GAP_DEG = 60.0
SMALLEST_SIDE_PX = 60
LARGEST_PICTURE_PX = 50_000_000
FULL_SCALE_REACHED = 0.985  # 254 of 255 in sRGB: packing as JPEG lowers full scale a little
SATURATED_SHARE = 0.10

_TOLERANCE = 1.15  # what is estimated from the picture scatters: a condition just met is not called missed


class HoleImageError(MetrologyError):
    """A photograph, or a scale, that a hole cannot be measured from."""


def missed_conditions(
    *,
    diameter_px: float,
    blur_px: float,
    contrast: float,
    noise: float,
    coverage: float,
    ovality_px: float,
    side_px: int,
) -> tuple[str, ...]:
    """The nominal conditions that a picture does not meet, each in words; empty where all are met.

    Lengths in pixels; contrast and noise as parts of full scale; coverage as a part of the circumference.
    """
    low, high = NOMINAL_DIAMETER_PX
    widest = min(NOMINAL_BLUR_PX[1], NOMINAL_BLUR_SHARE * diameter_px)
    noisiest = min(NOMINAL_NOISE, NOMINAL_NOISE_SHARE * contrast)
    said = (
        (diameter_px < low - 1, f"the hole is under {low:.0f} pixels across"),
        (diameter_px > high + 1, f"the hole is over {high:.0f} pixels across"),
        (diameter_px < NOMINAL_SHARE_OF_SIDE * side_px, "the hole is under a twentieth of the picture's longer side"),
        (blur_px > widest * _TOLERANCE, f"the edge is blurred over more than {widest:.1f} pixels"),
        (contrast < NOMINAL_CONTRAST / _TOLERANCE, f"the contrast is under {NOMINAL_CONTRAST:.0%} of full scale"),
        (noise > noisiest * _TOLERANCE, f"the noise is over {noisiest:.1%} of full scale"),
        (coverage < NOMINAL_COVERAGE, f"the edge shows over less than {NOMINAL_COVERAGE:.0%} of the circumference"),
        (ovality_px > NOMINAL_OVALITY_SHARE * diameter_px, "the ovality is over a tenth of the diameter"),
    )
    return tuple(words for missed, words in said if missed)
