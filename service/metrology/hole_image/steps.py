"""A blurred step of light fitted along each of many rays at once.

The light is taken as level + (height + slope·d)·Φ(d/σ), with d the distance outwards from the edge: a step blurred by a
Gaussian σ, between an even hole and a ground that may slope.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy import special

Array = NDArray[Any]

EVERYTHING = (0, 1, 2, 3, 4)
ALL_BUT_BLUR = (0, 1, 2, 3)
LEVELS_AND_PLACE = (0, 1, 3)
PLACE_ONLY = (3,)
_MOST_ROUNDS = 25
_MOST_RAYS = 0.95  # those on a scratch may never settle
_SETTLED_PX = 1e-4
_SHARPEST_PX = 0.3


@dataclass(frozen=True, slots=True)
class Steps:
    """The step of each ray, arrays of shape (rays,): light in parts of full scale, offset and blur in pixels.

    `scatter` is the standard deviation of the light about the fitted step.
    """

    level: Array
    height: Array
    slope: Array
    offset: Array
    blur: Array
    scatter: Array


def first_steps(values: Array, offsets: Array, blur: float) -> Steps:
    """A first guess from light of shape (rays, offsets): levels from both ends, the edge in the middle."""
    side = max(1, offsets.size // 5)
    level = values[:, :side].mean(axis=1)
    none = np.zeros_like(level)
    return Steps(level, values[:, -side:].mean(axis=1) - level, none, none, np.full_like(level, blur), none)


def fit_steps(values: Array, weights: Array, offsets: Array, start: Steps, free: tuple[int, ...]) -> Steps:
    """Least squares by Gauss-Newton, lightly damped, on all rays at once.

    `values` rise from hole to ground along `offsets` (pixels); a weight of 0 leaves a sample out. `free` says which
    of level, height, slope, offset and blur (0 to 4) are fitted; the others stay as in `start`.
    """
    state = np.stack([start.level, start.height, start.slope, start.offset, start.blur])
    reach = float(offsets[-1])
    places = list(free)
    for _ in range(_MOST_ROUNDS):
        model, columns = _model(offsets, state)
        jacobian = np.stack([columns[place] for place in places], axis=2) * weights[:, :, None]
        turned = np.swapaxes(jacobian, 1, 2)
        normal = turned @ jacobian
        diagonal = np.einsum("nii->ni", normal)
        diagonal += 1e-3 * diagonal + 1e-9
        change = np.linalg.solve(normal, turned @ ((values - model) * weights)[:, :, None])[:, :, 0].T
        for place, step in zip(places, change, strict=True):
            state[place] += np.clip(step, -2, 2)
        state[3] = np.clip(state[3], -reach, reach)
        state[4] = np.clip(state[4], _SHARPEST_PX, reach)
        if np.quantile(np.abs(change[places.index(3)]), _MOST_RAYS) < _SETTLED_PX:
            break
    residuals = (values - _model(offsets, state)[0]) * weights
    freedom = np.maximum(weights.sum(axis=1) - len(free), 1)
    scatter = np.sqrt((residuals**2).sum(axis=1) / freedom)
    return Steps(state[0], state[1], state[2], state[3], state[4], scatter)


def _model(offsets: Array, state: Array) -> tuple[Array, list[Array]]:
    """The light of the steps, and its derivatives by level, height, slope, offset and blur."""
    level, height, slope, offset, blur = state[:, :, None]
    d = offsets - offset
    z = d / blur
    rise = special.ndtr(z)
    steep = (height + slope * d) * np.exp(-z * z / 2) / (np.sqrt(2 * np.pi) * blur)
    model = level + (height + slope * d) * rise
    return model, [np.ones_like(d), rise, d * rise, -steep - slope * rise, -steep * z]
