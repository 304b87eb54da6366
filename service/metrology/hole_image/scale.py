"""The scale of a photograph: micrometres per pixel with its uncertainty, calibrated or from a scale bar."""

import math
from dataclasses import dataclass

from service.metrology.hole_image.conditions import HoleImageError

SMALLEST_UM_PER_PIXEL = 0.02
LARGEST_UM_PER_PIXEL = 200.0
LARGEST_RELATIVE_UNCERTAINTY = 0.10
SHORTEST_BAR_PX = 50.0
PLACING_HALF_WIDTH_PX = 1.0


@dataclass(frozen=True, slots=True)
class Scale:
    """Micrometres per pixel and the standard uncertainty of that, both in µm per pixel."""

    um_per_pixel: float
    standard_uncertainty: float

    @property
    def relative(self) -> float:
        """Standard uncertainty as a part of the pitch."""
        return self.standard_uncertainty / self.um_per_pixel


def calibrated_scale(um_per_pixel: float, expanded_uncertainty: float, k: float = 2.0) -> Scale:
    """The scale of a calibrated microscope or macro lens: pitch and expanded uncertainty in µm per pixel.

    Raises HoleImageError with code `scale-not-positive`, `scale-absurd`, `scale-uncertainty-negative` or
    `scale-too-uncertain`.
    """
    if not math.isfinite(um_per_pixel) or um_per_pixel <= 0:
        raise HoleImageError(
            "scale-not-positive",
            f"A scale of {um_per_pixel:g} µm per pixel has no meaning: enter the calibrated pixel pitch, over zero.",
            "um_per_pixel",
        )
    if not SMALLEST_UM_PER_PIXEL <= um_per_pixel <= LARGEST_UM_PER_PIXEL:
        raise HoleImageError(
            "scale-absurd",
            f"{um_per_pixel:g} µm per pixel is no scale for a spray hole ({SMALLEST_UM_PER_PIXEL:g} to "
            f"{LARGEST_UM_PER_PIXEL:g} µm per pixel): check the unit and the decimal mark.",
            "um_per_pixel",
        )
    if not (math.isfinite(expanded_uncertainty) and math.isfinite(k)) or expanded_uncertainty < 0 or k <= 0:
        raise HoleImageError(
            "scale-uncertainty-negative",
            "The uncertainty of the scale is zero or more and its coverage factor over zero: "
            "take both from the calibration certificate.",
            "expanded_uncertainty",
        )
    scale = Scale(float(um_per_pixel), float(expanded_uncertainty) / float(k))
    if scale.relative > LARGEST_RELATIVE_UNCERTAINTY:
        raise HoleImageError(
            "scale-too-uncertain",
            f"The scale is uncertain by {scale.relative:.0%}: calibrate it, or mark a longer scale bar.",
            "expanded_uncertainty",
        )
    return scale


def scale_from_bar(
    length_um: float,
    start_px: tuple[float, float],
    end_px: tuple[float, float],
    expanded_uncertainty_um: float = 0.0,
    k: float = 2.0,
    placing_half_width_px: float = PLACING_HALF_WIDTH_PX,
) -> Scale:
    """The scale from a bar of known length (µm) whose two end points (x, y in pixels) were marked.

    Each end point counts as placed within ± `placing_half_width_px`, a rectangle (JCGM 100 (GUM), 4.3.7); the
    length's expanded uncertainty in µm has the coverage factor k. Square pixels are taken for granted.

    Raises HoleImageError with code `bar-length-not-positive`, `bar-points-unreadable`, `bar-too-short` or one of
    `calibrated_scale`.
    """
    if not math.isfinite(length_um) or length_um <= 0:
        raise HoleImageError(
            "bar-length-not-positive",
            f"A scale bar of {length_um:g} µm has no meaning: enter the length engraved on it, over zero.",
            "length_um",
        )
    if not all(math.isfinite(value) for value in (*start_px, *end_px)) or not placing_half_width_px >= 0:
        raise HoleImageError(
            "bar-points-unreadable", "Mark both ends of the scale bar on the photograph again.", "start_px"
        )
    span = math.dist(start_px, end_px)
    if span < SHORTEST_BAR_PX:
        raise HoleImageError(
            "bar-too-short",
            f"The two ends of the scale bar are {span:.0f} pixels apart: mark a bar of at least "
            f"{SHORTEST_BAR_PX:.0f} pixels, better one as long as the hole is wide.",
            "end_px",
        )
    plain = calibrated_scale(length_um / span, 0.0)
    if not (math.isfinite(expanded_uncertainty_um) and math.isfinite(k)) or expanded_uncertainty_um < 0 or k <= 0:
        return calibrated_scale(plain.um_per_pixel, -1.0)
    of_length = expanded_uncertainty_um / k / length_um
    of_ends = math.sqrt(2) * placing_half_width_px / math.sqrt(3) / span
    return calibrated_scale(plain.um_per_pixel, plain.um_per_pixel * math.hypot(of_length, of_ends), k=1.0)
