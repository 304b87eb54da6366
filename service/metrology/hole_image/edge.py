"""The edge of a hole to sub-pixel: a blurred step fitted along each of many rays, scratches and reflections left out.

Along a ray the light is taken as inside + step·Φ(d/σ) + slope·d·Φ(d/σ), with d the distance from the edge: a step
blurred by a Gaussian σ between an even hole and a ground that may slope. The blur is one for the whole edge.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage, special

from service.metrology.hole_image.conditions import FULL_SCALE_REACHED
from service.metrology.hole_image.profiles import harmonic_columns, harmonics, trusted
from service.metrology.hole_image.search import RoughHole

Array = NDArray[Any]

_RAYS = (180, 720)
_PIXELS_A_RAY = 1.5
_SEARCH = 0.45  # part of the radius on both sides of the first circle
_WINDOW_PX = 32.0
_STEP_PX = 0.5
_PROFILE_ORDER = 6
_MOST_RAYS = 0.95  # those on a scratch may never settle
_SETTLED_PX = 1e-4
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


@dataclass(slots=True)
class _Steps:
    """The fitted steps of all rays: offset of the edge, blur, height, slope, scatter about the fit."""

    offset: Array
    blur: Array
    height: Array
    scatter: Array


def trace_edge(picture: Array, hole: RoughHole) -> Edge:
    """The edge of a hole that was found roughly, looked for three times, each nearer.

    First the steepest slope, then a step with its blur, then a step with the blur of all.
    """
    rays = int(np.clip(2 * np.pi * hole.radius / _PIXELS_A_RAY, *_RAYS))
    angles = np.arange(rays) * 2 * np.pi / rays
    sign = 1.0 if hole.is_dark else -1.0
    about = _steepest(picture, hole, angles, sign)
    window = min(_SEARCH * hole.radius, _WINDOW_PX)
    values, weights, offsets = _along(picture, hole, angles, about, window, step=1.0 if window > 16 else _STEP_PX)
    first = _fit_steps(sign * values, weights, offsets, np.full(rays, 2.0), blur_known=False)
    sound = _sound(first, window)
    blur = float(np.median(first.blur[sound])) if sound.any() else window
    narrow = min(window, 4 * blur + 4)
    if sound.sum() > 4 * _PROFILE_ORDER + 2:
        kept = trusted(angles, about + first.offset, sound, _PROFILE_ORDER, floor=0.5)
        about = (
            harmonic_columns(angles, _PROFILE_ORDER)
            @ harmonics(angles[kept], (about + first.offset)[kept], _PROFILE_ORDER)
            if kept.sum() > 4 * _PROFILE_ORDER + 2
            else about
        )
    values, weights, offsets = _along(picture, hole, angles, about, narrow)
    steps = _fit_steps(sign * values, weights, offsets, np.full(rays, blur), blur_known=True)
    sound = np.asarray(sound & _sound(steps, narrow))
    radii = about + steps.offset
    used = trusted(angles, radii, sound, _PROFILE_ORDER, floor=0.3)
    bright = values[:, offsets > blur] if hole.is_dark else values[:, offsets < -blur]
    return Edge(
        hole.x, hole.y, angles, radii, used, (np.abs(steps.offset) < narrow) & ~used,
        contrast=float(np.median(steps.height[sound])) if sound.any() else 0.0,
        noise=float(np.median(steps.scatter[sound])) / _BILINEAR_NOISE if sound.any() else 0.0,
        blur_px=blur,
        at_full_scale=float(np.mean(bright >= FULL_SCALE_REACHED)) if bright.size else 0.0,
    )  # fmt: skip


def _steepest(picture: Array, hole: RoughHole, angles: Array, sign: float) -> Array:
    """Radius of the steepest slope along each ray, as a smooth profile of the third order."""
    reach = _SEARCH * hole.radius
    step = max(_STEP_PX, reach / 100)
    values, weights, offsets = _along(picture, hole, angles, np.full(angles.size, hole.radius), reach, step)
    smoothing = max(1.5, 0.02 * hole.radius) / step
    slope = sign * ndimage.gaussian_filter1d(values, smoothing, axis=1, order=1, mode="nearest") * weights
    radii = hole.radius + offsets[np.argmax(slope, axis=1)]
    kept = trusted(angles, radii, weights.all(axis=1), 3, floor=2.0, reach=4.0)
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


def _fit_steps(values: Array, weights: Array, offsets: Array, blur: Array, *, blur_known: bool) -> _Steps:
    """Levenberg-Marquardt on all rays at once; values of shape (rays, offsets) rise from hole to ground."""
    rays, reach = values.shape[0], offsets[-1]
    side = max(1, offsets.size // 5)
    level, height = values[:, :side].mean(axis=1), np.zeros(rays)
    height = values[:, -side:].mean(axis=1) - level
    slope, offset, blur = np.zeros(rays), np.zeros(rays), blur.copy()
    free = 4 if blur_known else 5
    for _ in range(12 if blur_known else 25):
        d = offsets - offset[:, None]
        z = d / blur[:, None]
        rise, density = special.ndtr(z), np.exp(-z * z / 2) / np.sqrt(2 * np.pi)
        model = level[:, None] + (height[:, None] + slope[:, None] * d) * rise
        steep = (height[:, None] + slope[:, None] * d) * density / blur[:, None]
        columns = [np.ones_like(d), rise, d * rise, -steep - slope[:, None] * rise, -steep * z][:free]
        jacobian = np.stack(columns, axis=2) * weights[:, :, None]
        normal = np.swapaxes(jacobian, 1, 2) @ jacobian
        diagonal = np.einsum("nii->ni", normal)
        diagonal += 1e-3 * diagonal + 1e-9
        right = np.swapaxes(jacobian, 1, 2) @ ((values - model) * weights)[:, :, None]
        change = np.linalg.solve(normal, right)[:, :, 0]
        level, height, slope = level + change[:, 0], height + change[:, 1], slope + change[:, 2]
        offset = np.clip(offset + np.clip(change[:, 3], -2, 2), -reach, reach)
        if not blur_known:
            blur = np.clip(blur + np.clip(change[:, 4], -1, 1), 0.3, reach)
        if np.quantile(np.abs(change[:, 3]), _MOST_RAYS) < _SETTLED_PX:
            break
    residuals = (values - model) * weights
    scatter = np.sqrt((residuals**2).sum(axis=1) / np.maximum(weights.sum(axis=1) - free, 1))
    return _Steps(offset, blur, height, scatter)


def _sound(steps: _Steps, reach: float) -> Array:
    """Rays whose step looks as those of most rays do: in height, in blur, in scatter, and inside the window."""
    inside = (np.abs(steps.offset) < 0.9 * reach) & (steps.height > 0)
    if not inside.any():
        return inside
    height, blur = float(np.median(steps.height[inside])), float(np.median(steps.blur[inside]))
    scatter = float(np.median(steps.scatter[inside]))
    alike = (steps.height > 0.5 * height) & (steps.height < 1.7 * height)
    alike &= np.abs(steps.blur - blur) < max(0.7 * blur, 0.6)
    alike &= steps.scatter < max(2.5 * scatter, 0.03 * height)
    return np.asarray(inside & alike)
