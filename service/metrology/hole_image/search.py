"""Where the hole is: a coarse look at the whole picture that finds one round spot, or says why there is none."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from service.metrology.hole_image.conditions import SMALLEST_DIAMETER_PX, HoleImageError

Array = NDArray[Any]

_COARSE_SIDE = 1000
_OPENING = 0.4  # part of the inscribed radius: cuts scratches off, and keeps a second hole of that size
_LEAST_STEP = 0.02
_LEAST_SEPARATION = 3.4  # noise alone, split in two at its mean, is 2.6 of its own deviations apart
_SMALLEST_INSCRIBED = 3.0
_BESIDE_BORDER = 0.05


@dataclass(frozen=True, slots=True)
class RoughHole:
    """A first circle in pixels of the whole picture, and whether the hole is the darker side."""

    x: float
    y: float
    radius: float
    is_dark: bool


@dataclass(frozen=True, slots=True)
class _Spot:
    x: float
    y: float
    radius: float
    is_round: bool
    at_border: bool


def find_hole(picture: Array) -> RoughHole:
    """The one round spot in a picture that stands out from its ground.

    Raises HoleImageError with code `no-hole`, `hole-touches-border`, `two-holes` or `hole-too-small`.
    """
    shrink = max(1, -(-max(picture.shape) // _COARSE_SIDE))
    coarse = ndimage.gaussian_filter(block_mean(picture, shrink), 1.0)
    darker = _darker_side(coarse)
    border = np.concatenate([darker[0], darker[-1], darker[:, 0], darker[:, -1]])
    hole_is_dark = bool(border.mean() < 0.5)
    standing_out = ndimage.binary_fill_holes(darker if hole_is_dark else ~darker)
    spot = _the_one_spot(standing_out)
    found = RoughHole(
        spot.x * shrink + (shrink - 1) / 2, spot.y * shrink + (shrink - 1) / 2, spot.radius * shrink, hole_is_dark
    )
    if 2 * found.radius < SMALLEST_DIAMETER_PX:
        raise too_small(2 * found.radius)
    return found


def block_mean(picture: Array, side: int) -> Array:
    """The picture shrunk by a whole number: the mean of each block; rows and columns left over are dropped."""
    if side == 1:
        return picture
    rows, columns = picture.shape[0] // side, picture.shape[1] // side
    blocks = picture[: rows * side, : columns * side].reshape(rows, side, columns, side)
    return np.asarray(blocks.mean(axis=(1, 3)))


def too_small(diameter_px: float) -> HoleImageError:
    """The refusal of a hole that too few pixels show."""
    return HoleImageError(
        "hole-too-small",
        f"The hole is {diameter_px:.0f} pixels across, and at least {SMALLEST_DIAMETER_PX:.0f} are needed: "
        "go nearer or use more magnification.",
        "picture",
    )


def _no_hole(why: str) -> HoleImageError:
    return HoleImageError(
        "no-hole", f"No hole is seen in the picture: {why}. Photograph one hole, square on and in focus.", "picture"
    )


def _darker_side(coarse: Array) -> Array:
    """Which pixels are the darker kind, uneven illumination allowed for.

    The picture is split in two (Otsu), then a surface and a step between the two kinds are fitted together and the
    surface taken off, and so on: a surface alone would swallow a large hole.
    """
    y, x = np.mgrid[-1 : 1 : coarse.shape[0] * 1j, -1 : 1 : coarse.shape[1] * 1j]
    flat = coarse
    stride = (slice(None, None, max(1, coarse.shape[0] // 150)), slice(None, None, max(1, coarse.shape[1] // 150)))
    darker = flat < _otsu(flat)
    for degree in (1, 2, 2):
        terms = [x, y] if degree == 1 else [x, y, x * x, x * y, y * y]
        columns = [term[stride].ravel() for term in (*terms, np.ones_like(x), darker.astype(float))]
        weights = np.linalg.lstsq(np.stack(columns, axis=1), coarse[stride].ravel(), rcond=None)[0]
        flat = coarse - sum(weight * term for weight, term in zip(weights, terms, strict=False))
        darker = flat < _otsu(flat)
    if not 0 < darker.mean() < 1:
        raise _no_hole("it is of one brightness")
    step = flat[~darker].mean() - flat[darker].mean()
    scatter = np.sqrt(flat[~darker].var() * (~darker).mean() + flat[darker].var() * darker.mean())
    if step < _LEAST_STEP or step < _LEAST_SEPARATION * scatter:
        raise _no_hole("nothing in it stands out from its ground")
    return darker


def _otsu(values: Array) -> float:
    """The threshold that parts a histogram in two with the largest variance between the parts (Otsu 1979)."""
    low, high = float(values.min()), float(values.max())
    if high - low < 1e-9:
        return low
    counts, edges = np.histogram(values, bins=256, range=(low, high))
    middles = (edges[:-1] + edges[1:]) / 2
    below = np.cumsum(counts)[:-1].astype(float)
    above = counts.sum() - below
    sums = np.cumsum(counts * middles)
    between = below * above * (sums[:-1] / np.maximum(below, 1) - (sums[-1] - sums[:-1]) / np.maximum(above, 1)) ** 2
    best = np.flatnonzero(between >= between.max() * (1 - 1e-9))
    return float(edges[1:-1][best].mean())


def _the_one_spot(standing_out: Array) -> _Spot:
    """The one round spot clear of the border; what runs over the border is set aside, but remembered."""
    left, over_border = standing_out, False
    for _ in range(3):
        depth = ndimage.distance_transform_edt(left)
        inscribed = float(depth.max())
        if inscribed < _SMALLEST_INSCRIBED:
            break
        core = depth > _OPENING * inscribed
        opened = left & (ndimage.distance_transform_edt(~core) <= _OPENING * inscribed)
        labels, _ = ndimage.label(opened)
        spots = [_spot(labels, place, number) for number, place in enumerate(ndimage.find_objects(labels), 1)]
        inside = [spot for spot in spots if spot.is_round and not spot.at_border]
        if len(inside) > 1:
            raise HoleImageError(
                "two-holes",
                f"{len(inside)} holes are in the picture: crop it to the one hole to be measured.",
                "picture",
            )
        if inside and not (over_border and inside[0].radius < _BESIDE_BORDER * max(left.shape) / 2):
            return inside[0]
        over_border = over_border or any(spot.at_border for spot in spots)
        if not any(spot.at_border for spot in spots):
            break
        left = left & ~opened
    if over_border:
        raise HoleImageError(
            "hole-touches-border",
            "The hole runs over the border of the picture: photograph it whole, with ground all round it.",
            "picture",
        )
    raise _no_hole("nothing round stands out from its ground")


def _spot(labels: Array, place: tuple[slice, slice], number: int) -> _Spot:
    """Centre, mean radius and roundness of one spot by its moments.

    A full ellipse has the area 4π·√det of its variances.
    """
    rows, columns = np.nonzero(labels[place] == number)
    area = float(rows.size)
    variances = np.cov(np.stack([columns, rows]), bias=True) if area > 1 else np.zeros((2, 2))
    small, large = np.linalg.eigvalsh(variances)
    filled = area / max(4 * np.pi * float(np.sqrt(max(small * large, 0))), 1e-9)
    down, across = place
    at_border = (
        down.start <= 1 or across.start <= 1 or down.stop >= labels.shape[0] - 1 or across.stop >= labels.shape[1] - 1
    )
    return _Spot(
        float(columns.mean()) + across.start,
        float(rows.mean()) + down.start,
        float(np.sqrt(area / np.pi)),
        bool(small > 0.36 * large and 0.9 < filled < 1.1),
        at_border,
    )
