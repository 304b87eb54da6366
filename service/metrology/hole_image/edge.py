"""The edge of a hole to sub-pixel: a blurred step fitted along each of many rays, scratches and reflections out."""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from service.metrology.hole_image.conditions import FULL_SCALE_REACHED
from service.metrology.hole_image.profiles import harmonic_columns, harmonics, trusted
from service.metrology.hole_image.search import RoughHole
from service.metrology.hole_image.steps import (
    ALL_BUT_BLUR,
    EVERYTHING,
    LEVELS_AND_PLACE,
    PLACE_ONLY,
    Steps,
    first_steps,
    fit_steps,
)

Array = NDArray[Any]

_RAYS = (180, 720)
_PIXELS_A_RAY = 1.5
_SEARCH = 0.45  # part of the radius on both sides of the first circle
_WINDOW_PX = 32.0
_STEP_PX = 0.5
_PROFILE_ORDER = 6
_LIGHT_ORDER = 3
_BILINEAR_NOISE = 2 / 3  # what interpolation between pixels leaves, on average, of the noise's deviation


@dataclass(frozen=True, slots=True)
class Edge:
    """Edge radii along rays from an origin, in pixels, and what the rays saw.

    `used` and `rejected` are masks over the rays; a ray in neither saw no edge. `contrast`, `noise` and
    `at_full_scale` (part of the bright side that is overexposed) are parts of full scale and of one.
    """

    x: float
    y: float
    angles: Array
    radii: Array
    used: Array
    rejected: Array
    contrast: float
    noise: float
    blur_px: float
    at_full_scale: float

    def points(self, mask: Array) -> Array:
        """The edge points of some rays as x and y, shape (n, 2)."""
        angles, radii = self.angles[mask], self.radii[mask]
        return np.column_stack([self.x + radii * np.cos(angles), self.y + radii * np.sin(angles)])


def trace_edge(picture: Array, hole: RoughHole) -> Edge:
    """The edge of a hole that was found roughly, looked for three times, each nearer.

    First the steepest slope, then a step with its own blur on each ray, then the place alone of a step whose blur
    is that of all rays and whose light varies smoothly round the hole: so noise moves it least.
    """
    rays = int(np.clip(2 * np.pi * hole.radius / _PIXELS_A_RAY, *_RAYS))
    angles = np.arange(rays) * 2 * np.pi / rays
    sign = 1.0 if hole.is_dark else -1.0
    about = _steepest(picture, hole, angles, sign)
    window = min(_SEARCH * hole.radius, _WINDOW_PX)
    values, weights, offsets = _along(picture, hole, angles, about, window, step=1.0 if window > 16 else _STEP_PX)
    steps = fit_steps(sign * values, weights, offsets, first_steps(sign * values, offsets, blur=2.0), EVERYTHING)
    sound = _sound(steps, window)
    blur = float(np.median(steps.blur[sound])) if sound.any() else window
    about = _smooth(angles, about + steps.offset, sound, about)
    window = min(window, 4 * blur + 4)
    values, weights, offsets = _along(picture, hole, angles, about, window)
    steps = fit_steps(sign * values, weights, offsets, first_steps(sign * values, offsets, blur), ALL_BUT_BLUR)
    alike = np.asarray(sound & _sound(steps, window))
    alike &= trusted(angles, steps.height, alike, _LIGHT_ORDER, floor=0.08 * _middle(steps.height, alike), reach=4.5)
    if alike.sum() > 4 * _PROFILE_ORDER + 2:
        steps = _place_in_smooth_light(angles, sign * values, weights, offsets, steps, alike)
        alike = np.asarray(alike & (steps.scatter < _least_scatter(steps, alike, 1.8)))
    radii = about + steps.offset
    used = _without_marks(angles, radii, alike, blur)
    bright = values[:, offsets > blur] if hole.is_dark else values[:, offsets < -blur]
    return Edge(
        hole.x, hole.y, angles, radii, used, (np.abs(steps.offset) < window) & ~used,
        contrast=_middle(steps.height, used),
        noise=_middle(steps.scatter, used) / _BILINEAR_NOISE,
        blur_px=blur,
        at_full_scale=float(np.mean(bright >= FULL_SCALE_REACHED)) if bright.size else 0.0,
    )  # fmt: skip


def _middle(values: Array, mask: Array) -> float:
    return float(np.median(values[mask])) if mask.any() else 0.0


def _smooth(angles: Array, values: Array, candidates: Array, otherwise: Array) -> Array:
    """Values round the hole as their harmonics, outliers left out; the second choice where too few are left."""
    kept = trusted(angles, values, candidates, _PROFILE_ORDER, floor=0.5)
    if kept.sum() <= 4 * _PROFILE_ORDER + 2:
        return otherwise
    return np.asarray(harmonic_columns(angles, _PROFILE_ORDER) @ harmonics(angles[kept], values[kept], _PROFILE_ORDER))


def _place_in_smooth_light(
    angles: Array, values: Array, weights: Array, offsets: Array, steps: Steps, alike: Array
) -> Steps:
    """The place of each step once the light is known to vary smoothly round the hole, as illumination does.

    The slope of the ground, which alone pulls much at the place, goes first and by one harmonic only: more of them
    would carry their noise into the ovality.
    """

    def smooth(light: Array, order: int) -> Array:
        return np.asarray(harmonic_columns(angles, order) @ harmonics(angles[alike], light[alike], order))

    even = replace(steps, slope=smooth(steps.slope, 1))
    even = fit_steps(values, weights, offsets, even, LEVELS_AND_PLACE)
    even = replace(even, level=smooth(even.level, 2), height=smooth(even.height, 2))
    return fit_steps(values, weights, offsets, even, PLACE_ONLY)


def _least_scatter(steps: Steps, mask: Array, times: float) -> float:
    """Scatter about the step from which on a ray counts as marked; reading between pixels alone makes some."""
    return max(times * _middle(steps.scatter, mask), 0.03 * _middle(steps.height, mask))


def _without_marks(angles: Array, radii: Array, alike: Array, blur: float) -> Array:
    """The rays that neither a scratch nor a reflection touches.

    A mark is at least as wide as the blur, so it shows best in the mean of neighbours, where noise is less; a ray
    within the blur of a mark is touched by it.
    """
    apart = float(np.median(radii)) * 2 * np.pi / angles.size
    near = max(1, round(blur / apart))
    used = trusted(angles, radii, alike, _PROFILE_ORDER, floor=0.3, reach=4.5)
    for _ in range(2):
        if used.sum() <= 4 * _PROFILE_ORDER + 2:
            return used
        about = harmonic_columns(angles, _PROFILE_ORDER) @ harmonics(angles[used], radii[used], _PROFILE_ORDER)
        away = np.where(used, radii - about, 0.0)
        width = 2 * near + 1
        count = ndimage.uniform_filter1d(used.astype(np.float64), width, mode="wrap")
        mean = ndimage.uniform_filter1d(away, width, mode="wrap") / np.maximum(count, 1 / width)
        spread = 1.4826 * float(np.median(np.abs(mean[used])))
        marked = ~used | (np.abs(mean) > max(0.1, 4.0 * spread))
        used = alike & ~ndimage.maximum_filter1d(marked, width, mode="wrap")
    return np.asarray(used)


def _steepest(picture: Array, hole: RoughHole, angles: Array, sign: float) -> Array:
    """Radius of the steepest slope along each ray, as a smooth profile of the third order."""
    reach = _SEARCH * hole.radius
    step = max(_STEP_PX, reach / 100)
    values, weights, offsets = _along(picture, hole, angles, np.full(angles.size, hole.radius), reach, step)
    smoothing = max(1.5, 0.02 * hole.radius) / step
    slope = sign * ndimage.gaussian_filter1d(values, smoothing, axis=1, order=1, mode="nearest") * weights
    radii = hole.radius + offsets[np.argmax(slope, axis=1)]
    kept = trusted(angles, radii, np.asarray(weights.all(axis=1)), 3, floor=2.0, reach=4.0)
    if kept.sum() < angles.size / 4:
        return np.full(angles.size, hole.radius)
    return np.asarray(harmonic_columns(angles, 3) @ harmonics(angles[kept], radii[kept], 3))


def _along(
    picture: Array, hole: RoughHole, angles: Array, about: Array, reach: float, step: float = _STEP_PX
) -> tuple[Array, Array, Array]:
    """Light along each ray within ± reach of a radius, weights (0 outside the picture), and the offsets."""
    count = int(np.ceil(reach / step))
    offsets = np.arange(-count, count + 1) * step
    radii = about[:, None] + offsets
    x = hole.x + radii * np.cos(angles)[:, None]
    y = hole.y + radii * np.sin(angles)[:, None]
    low_x, low_y = (max(0, int(np.floor(axis.min())) - 1) for axis in (x, y))
    crop = picture[low_y : max(0, int(y.max()) + 3), low_x : max(0, int(x.max()) + 3)]
    values = ndimage.map_coordinates(crop.astype(np.float64), [y - low_y, x - low_x], order=1, mode="nearest")
    inside = (x >= 0) & (y >= 0) & (x <= picture.shape[1] - 1) & (y <= picture.shape[0] - 1)
    return values, inside.astype(np.float64), offsets


def _sound(steps: Steps, reach: float) -> Array:
    """Rays whose step looks as those of most rays do: in height, in blur, in scatter, and inside the window."""
    inside = (np.abs(steps.offset) < 0.9 * reach) & (steps.height > 0)
    if not inside.any():
        return inside
    height, blur = float(np.median(steps.height[inside])), float(np.median(steps.blur[inside]))
    alike = (steps.height > 0.5 * height) & (steps.height < 1.7 * height)
    alike &= np.abs(steps.blur - blur) < max(0.7 * blur, 0.6)
    alike &= steps.scatter < _least_scatter(steps, inside, 2.5)
    return np.asarray(inside & alike)
