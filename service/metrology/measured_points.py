"""Points of one section as measured, shifted and scaled so that form far smaller than the place keeps its digits."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from service.metrology.errors import MetrologyError

Floats = npt.NDArray[np.float64]

FARTHEST_MM = 1e6  # a coordinate beyond a kilometre is a slip of the unit
_SMALLEST_EXTENT_MM = 1e-9
_THINNEST = 1e-9  # breadth over length under which points are one straight line
_ROUNDING = 8 * np.finfo(np.float64).eps


@dataclass(frozen=True, slots=True, eq=False)
class MeasuredPoints:
    """Points (n, 2) without a unit: millimetres less `origin_mm`, divided by `scale_mm`; all within ±1."""

    xy: Floats
    origin_mm: Floats
    scale_mm: float

    def place_mm(self, centre: Floats) -> tuple[float, float]:
        """A centre of the scaled plane in the millimetres of the measurement."""
        x_mm, y_mm = self.origin_mm + self.scale_mm * centre
        return float(x_mm), float(y_mm)


def measured_points(points: npt.ArrayLike) -> MeasuredPoints:
    """Check points (n, 2) in mm and bring them near zero; repeated points are kept, as a closed trace has them.

    Raises MetrologyError, field `points`, with code `points-shape`, `point-not-finite`, `point-out-of-range`,
    `too-few-points` (fewer than three), `points-in-one-place` or `points-in-line`.
    """
    raw = _as_pairs(points)
    _refuse_unreadable(raw)
    lowest, highest = raw.min(axis=0), raw.max(axis=0)
    origin = lowest + (highest - lowest) / 2
    scale = float((highest - lowest).max() / 2)
    place = float(np.abs(raw).max())
    if scale <= max(_SMALLEST_EXTENT_MM, _ROUNDING * place):
        raise MetrologyError(
            "points-in-one-place",
            "All points lie in one place: measure points all round the section.",
            "points",
        )
    xy = np.asfortranarray((raw - origin) / scale)  # whole columns are read at a time
    if _breadth(xy) <= max(_THINNEST, _ROUNDING * place / scale):
        raise MetrologyError(
            "points-in-line",
            "All points lie on one straight line, or only two places were measured: no circle passes through them, "
            "so measure points all round the section.",
            "points",
        )
    return MeasuredPoints(xy, origin, scale)


def _as_pairs(points: npt.ArrayLike) -> Floats:
    try:
        raw = np.asarray(points, dtype=np.float64)
    except (TypeError, ValueError):
        raw = np.empty((0,))
    if raw.ndim != 2 or raw.shape[1] != 2:
        raise MetrologyError("points-shape", "Points are given as rows of two numbers, x and y in mm.", "points")
    return raw


def _refuse_unreadable(raw: Floats) -> None:
    if len(raw) < 3:
        raise MetrologyError(
            "too-few-points", f"A circle needs at least three points, and there are {len(raw)}.", "points"
        )
    unreadable = np.flatnonzero(~np.isfinite(raw).all(axis=1))
    if len(unreadable):
        raise MetrologyError(
            "point-not-finite",
            f"Point {unreadable[0] + 1} is not a pair of finite numbers: measure it again or leave it out.",
            "points",
        )
    far = np.flatnonzero((np.abs(raw) > FARTHEST_MM).any(axis=1))
    if len(far):
        raise MetrologyError(
            "point-out-of-range",
            f"Point {far[0] + 1} lies more than a kilometre from zero: check the unit, which is mm.",
            "points",
        )


def _breadth(xy: Floats) -> float:
    """Extent across the main direction of points whose extent along it is about 2."""
    centred = xy - xy.mean(axis=0)
    across = np.linalg.eigh(centred.T @ centred)[1][:, 0]
    return float(np.ptp(centred @ across))
