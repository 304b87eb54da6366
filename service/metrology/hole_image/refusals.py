"""What is refused before a hole is measured: a picture that is none, an edge that shows too little."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from service.metrology.hole_image import conditions
from service.metrology.hole_image.conditions import HoleImageError
from service.metrology.hole_image.edge import Edge

Array = NDArray[Any]


def refuse_unfit_picture(picture: Array) -> None:
    """Refuse what is no greyscale picture of a fit size."""
    if picture.ndim != 2 or not np.issubdtype(picture.dtype, np.floating):
        raise HoleImageError("picture-unreadable", "The picture is no greyscale picture: upload it again.", "picture")
    if min(picture.shape) < conditions.SMALLEST_SIDE_PX:
        raise HoleImageError(
            "picture-too-small",
            f"The picture is {picture.shape[1]} by {picture.shape[0]} pixels: at least "
            f"{conditions.SMALLEST_SIDE_PX} each way are needed.",
            "picture",
        )
    if picture.size > conditions.LARGEST_PICTURE_PX:
        raise HoleImageError(
            "picture-too-large",
            f"The picture has {picture.size / 1e6:.0f} million pixels, over the "
            f"{conditions.LARGEST_PICTURE_PX / 1e6:.0f} million taken: crop it to the hole.",
            "picture",
        )
    low, high = float(picture.min()), float(picture.max())
    if not (low >= -1e-6 and high <= 1 + 1e-6):  # NaN fails as well
        raise HoleImageError(
            "picture-unreadable", "The picture holds light outside black to full scale: upload it again.", "picture"
        )


def refuse_poor_edge(edge: Edge, radius: float) -> None:
    """Refuse an edge that shows too little to be measured; the first reason in the order in which one mends them."""
    if edge.at_full_scale > conditions.SATURATED_SHARE:
        raise HoleImageError(
            "overexposed",
            f"{edge.at_full_scale:.0%} of the bright side of the edge is at full scale, which moves the edge: "
            "take the photograph with less light or a shorter exposure.",
            "picture",
        )
    if edge.used.any() and edge.contrast < conditions.SMALLEST_CONTRAST:
        raise HoleImageError(
            "contrast-too-low",
            f"Hole and ground differ by {edge.contrast:.1%} of full scale, and at least "
            f"{conditions.SMALLEST_CONTRAST:.0%} are needed: light the face or the hole better.",
            "picture",
        )
    widest = min(conditions.WIDEST_BLUR_PX, conditions.WIDEST_BLUR_SHARE * 2 * radius)
    if edge.blur_px > widest:
        raise HoleImageError(
            "blur-too-wide",
            f"The edge is blurred over {edge.blur_px:.1f} pixels (standard deviation), and at most {widest:.1f} can be "
            "measured: focus on the rim of the hole and steady the camera.",
            "picture",
        )
    coverage, gap = coverage_of(edge)
    if coverage < conditions.LEAST_COVERAGE or gap > conditions.LARGEST_GAP_DEG:
        raise HoleImageError(
            "edge-too-little",
            f"The edge shows over {coverage:.0%} of the circumference, with a gap of {gap:.0f}° "
            f"(needed: {conditions.LEAST_COVERAGE:.0%}, no gap over {conditions.LARGEST_GAP_DEG:.0f}°): clean the rim, "
            "avoid reflections and photograph it again.",
            "picture",
        )


def coverage_of(edge: Edge) -> tuple[float, float]:
    """Part of the circumference with edge points, and the widest stretch without in degrees."""
    count = int(edge.used.sum())
    if count < 2:
        return 0.0, 360.0
    used = np.degrees(edge.angles[edge.used])
    gaps = np.diff(np.append(used, used[0] + 360.0))
    return count / edge.used.size, float(gaps.max() - 360.0 / edge.used.size)
