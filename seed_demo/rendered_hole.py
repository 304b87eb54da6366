"""Photographs of holes of known size, drawn by area coverage, then blurred, lit unevenly, scratched and noised.

The truth is the outline r(θ) that is drawn; nothing here is taken from the evaluation under test. The centre of the
pixel in column x and row y is the point (x, y); angles run from x towards y.
"""

from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

Array = NDArray[Any]

_FINE = 16  # sub-pixels each way in pixels that the outline crosses
_HALF_DIAGONAL = 0.8  # of a pixel, and a little more, since the outline is not square to the radius


@dataclass(frozen=True)
class Hole:
    """A hole with its axes in pixels, angles in degrees; a lobe is its number, amplitude of the radius, angle."""

    x: float
    y: float
    major: float
    minor: float
    angle: float = 0.0
    lobes: tuple[tuple[int, float, float], ...] = ()

    def radius(self, theta: Array) -> Array:
        a, b, turned = self.major / 2, self.minor / 2, theta - np.radians(self.angle)
        radius = a * b / np.hypot(b * np.cos(turned), a * np.sin(turned))
        for number, amplitude, angle in self.lobes:
            radius = radius + amplitude * np.cos(number * (theta - np.radians(angle)))
        return np.asarray(radius)

    def contains(self, x: Array, y: Array) -> Array:
        return np.asarray(np.hypot(x - self.x, y - self.y) < self.radius(np.arctan2(y - self.y, x - self.x)))

    @property
    def mean_diameter(self) -> float:
        """Diameter of the least-squares circle about the centre: twice the mean radius over all angles."""
        return float(2 * self.radius(np.arange(7200) * 2 * np.pi / 7200).mean())

    @property
    def ovality(self) -> float:
        return self.major - self.minor

    @property
    def ovality_by_harmonic(self) -> float:
        """Four times the amplitude of cos 2θ, sin 2θ in r(θ), by its Fourier integral."""
        theta = np.arange(7200) * 2 * np.pi / 7200
        return float(4 * np.abs(2 * np.mean(self.radius(theta) * np.exp(-2j * theta))))

    @property
    def roundness(self) -> float:
        """Peak to valley after the Gaussian filter of 15 undulations per revolution, as a mean weighted over angles.

        The weight is exp(−π·(turn/(α·wave))²) with α = √(ln 2/π) and the cut-off wave of a fifteenth of a turn
        (ISO 16610-21); the evaluation filters in another way, by harmonics.
        """
        theta = np.arange(3600) * 2 * np.pi / 3600
        turn = (np.arange(-600, 601)) / 3600
        weight = np.exp(-np.pi * (turn / (np.sqrt(np.log(2) / np.pi) / 15)) ** 2)
        return float(np.ptp(ndimage.convolve1d(self.radius(theta), weight / weight.sum(), mode="wrap")))


@dataclass(frozen=True)
class Photograph:
    """How the hole is photographed: levels and noise as parts of full scale, blur in pixels."""

    width: int
    height: int
    ground: float = 0.7
    hole: float = 0.1
    blur: float = 1.0
    noise: float = 0.0
    tilt_of_light: tuple[float, float] = (0.0, 0.0)
    fall_of_light: float = 0.0
    scratches: tuple[tuple[float, float, float, float, float], ...] = ()
    glints: tuple[tuple[float, float, float], ...] = ()
    bits: int = 8
    seed: int = 1

    def with_(self, **changes: Any) -> "Photograph":
        return replace(self, **changes)


def coverage(hole: Hole, width: int, height: int) -> Array:
    """The part of each pixel that the hole covers: exact for whole pixels, 16 by 16 sub-pixels along the outline."""
    radii = hole.radius(np.arange(3600) * 2 * np.pi / 3600)
    squares = (np.arange(width) - hole.x) ** 2 + (np.arange(height)[:, None] - hole.y) ** 2
    covered = (squares < (radii.min() - 2) ** 2).astype(np.float64)
    rows, columns = np.nonzero((covered == 0) & (squares < (radii.max() + 2) ** 2))
    across, down = columns - hole.x, rows - hole.y
    inwards = hole.radius(np.arctan2(down, across)) - np.hypot(across, down)
    covered[rows, columns] = inwards > 0
    crossed = np.abs(inwards) < _HALF_DIAGONAL
    rows, columns = rows[crossed], columns[crossed]
    fine = (np.arange(_FINE) + 0.5) / _FINE - 0.5
    fine_x = columns[:, None, None] + fine[None, None, :]
    fine_y = rows[:, None, None] + fine[None, :, None]
    covered[rows, columns] = hole.contains(fine_x, fine_y).mean(axis=(1, 2))
    return np.asarray(covered)


def photograph(holes: Hole | list[Hole], shot: Photograph) -> Array:
    """The photograph as linear light, 0 to 1."""
    light = np.full((shot.height, shot.width), shot.ground)
    for hole in [holes] if isinstance(holes, Hole) else holes:
        part = coverage(hole, shot.width, shot.height)
        light = light * (1 - part) + shot.hole * part
    light = _marked(light, shot)
    light = ndimage.gaussian_filter(light, shot.blur, truncate=5.0) if shot.blur > 0 else light
    x, y = np.linspace(-1, 1, shot.width), np.linspace(-1, 1, shot.height)[:, None]
    across, down = shot.tilt_of_light
    light *= 1 + across / 2 * x + down / 2 * y - shot.fall_of_light * (x * x + y * y) / 2
    light += np.random.default_rng(shot.seed).normal(0, 1, light.shape) * shot.noise
    steps = 2**shot.bits - 1
    return np.asarray(np.round(np.clip(light, 0, 1) * steps) / steps)


def _marked(light: Array, shot: Photograph) -> Array:
    """Scratches (x1, y1, x2, y2, level), two pixels wide, and glints (x, y, radius) of nearly full scale."""
    x, y = np.arange(shot.width), np.arange(shot.height)[:, None]
    for x1, y1, x2, y2, level in shot.scratches:
        length = np.hypot(x2 - x1, y2 - y1)
        along = ((x - x1) * (x2 - x1) + (y - y1) * (y2 - y1)) / length
        beside = ((x - x1) * (y2 - y1) - (y - y1) * (x2 - x1)) / length
        light = np.where((np.abs(beside) < 1) & (along > 0) & (along < length), level, light)
    for gx, gy, radius in shot.glints:
        light = np.where(np.hypot(x - gx, y - gy) < radius, 0.97, light)
    return light
