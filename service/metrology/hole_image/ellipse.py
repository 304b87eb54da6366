"""The ellipse of least orthogonal distances through edge points.

The ellipse is the image of the unit circle under a symmetric matrix, x = c + [[R+p, q], [q, R−p]]·(cos s, sin s):
unlike axes and an angle, (R, p, q) stay well defined where the ellipse becomes a circle.
"""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

Array = NDArray[Any]

_STEPS = 60


@dataclass(frozen=True, slots=True)
class Ellipse:
    """Centre, semi-axes and direction of the major axis in degrees (0 to 180), in the unit of the points."""

    x: float
    y: float
    semi_major: float
    semi_minor: float
    angle_deg: float


def fit_ellipse(points: Array) -> Ellipse:
    """The ellipse with the least sum of squared orthogonal distances to points of shape (n, 2), n at least 5.

    Gauss-Newton from the circle about their mean; made for holes, whose axes differ by less than a half.
    """
    centre = points.mean(axis=0)
    away = points - centre
    shape = np.array([float(np.hypot(away[:, 0], away[:, 1]).mean()), 0.0, 0.0])
    for _ in range(_STEPS):
        foot, on_circle, normal = _feet(points - centre, shape)
        distances = np.sum((points - centre - foot) * normal, axis=1)
        cosine, sine = on_circle[:, 0], on_circle[:, 1]
        columns = np.column_stack(
            [
                normal,
                normal[:, 0] * cosine + normal[:, 1] * sine,
                normal[:, 0] * cosine - normal[:, 1] * sine,
                normal[:, 0] * sine + normal[:, 1] * cosine,
            ]
        )
        step = np.linalg.lstsq(columns, distances, rcond=None)[0]
        centre, shape = centre + step[:2], shape + step[2:]
        if np.abs(step).max() < 1e-10 * max(shape[0], 1.0):
            break
    radius, p, q = (float(value) for value in shape)
    half = float(np.hypot(p, q))
    angle = float(np.degrees(np.arctan2(q, p)) / 2 % 180)
    return Ellipse(float(centre[0]), float(centre[1]), radius + half, radius - half, angle)


def _feet(away: Array, shape: Array) -> tuple[Array, Array, Array]:
    """For each point the nearest point of the ellipse, that point's place on the unit circle, the outward normal.

    Newton on the eccentric angle, in the frame of the axes; sound for points near an ellipse that is no needle.
    """
    radius, p, q = shape
    half, turn = np.hypot(p, q), np.arctan2(q, p) / 2
    a, b = radius + half, radius - half
    frame = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    x, y = (away @ frame).T
    t = np.arctan2(y * a, x * b)
    for _ in range(6):
        cosine, sine = np.cos(t), np.sin(t)
        slope = (x - a * cosine) * a * sine - (y - b * sine) * b * cosine
        bend = (a * sine) ** 2 + (b * cosine) ** 2 + (x - a * cosine) * a * cosine + (y - b * sine) * b * sine
        t = t - slope / np.where(bend > 1e-12, bend, 1.0)
    circle = np.column_stack([np.cos(t), np.sin(t)])
    foot = circle * (a, b)
    normal = circle * (b, a)
    normal /= np.linalg.norm(normal, axis=1)[:, None]
    return foot @ frame.T, circle @ frame.T, normal @ frame.T
