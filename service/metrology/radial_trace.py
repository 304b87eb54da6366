"""A section as a radial trace: the radius in each direction, as a rotating instrument records it."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from service.metrology.errors import MetrologyError
from service.metrology.measured_points import FARTHEST_MM, Floats
from service.metrology.roundness import least_squares_circle

_TURN = 2 * np.pi
_WIDEST_GAP = np.radians(46)  # eight even directions are the sparsest trace that is drawn as a curve
_EVEN = 1e-9


@dataclass(frozen=True, slots=True, eq=False)
class RadialTrace:
    """Radii (n,) in mm over directions (n,) in radians: ascending, each once, within one turn, anticlockwise."""

    angles_rad: Floats
    radii_mm: Floats

    @property
    def evenly_spaced(self) -> bool:
        """Whether the directions divide the turn into equal parts."""
        steps = np.diff(self.angles_rad, append=self.angles_rad[0] + _TURN)
        return bool(np.ptp(steps) <= _EVEN)

    @property
    def widest_gap_rad(self) -> float:
        """The widest angle without a reading, in radians."""
        return float(np.diff(self.angles_rad, append=self.angles_rad[0] + _TURN).max())

    def points_mm(self) -> Floats:
        """The trace as points (n, 2) in mm about the centre of rotation, ready for the reference circles."""
        return np.column_stack((np.cos(self.angles_rad), np.sin(self.angles_rad))) * self.radii_mm[:, None]


def radial_trace(radii_mm: npt.ArrayLike, angles_deg: npt.ArrayLike | None = None) -> RadialTrace:
    """A trace from radii (n,) in mm, n ≥ 3, and their directions (n,) in degrees; without them, n even steps from 0°.

    Radii are whole radii, not deviations from a suppressed one. Directions in any order, modulo 360°.
    Raises MetrologyError, field `trace`, with code `trace-shape`, `radius-not-positive`, `angle-not-finite` or
    `direction-twice`.
    """
    radii = _one_row(radii_mm)
    if not (np.isfinite(radii).all() and (radii > 0).all() and (radii <= FARTHEST_MM).all()):
        raise MetrologyError(
            "radius-not-positive",
            "Each radius of a trace is a number of mm over zero and under a kilometre: take the whole radius, "
            "not its deviation.",
            "trace",
        )
    if angles_deg is None:
        return RadialTrace(_even_angles(len(radii)), radii)
    degrees = _one_row(angles_deg)
    if len(degrees) != len(radii):
        raise MetrologyError(
            "trace-shape", f"There are {len(radii)} radii and {len(degrees)} directions: give one of each.", "trace"
        )
    if not np.isfinite(degrees).all():
        raise MetrologyError("angle-not-finite", "Each direction of a trace is a number of degrees.", "trace")
    angles: Floats = np.radians(np.mod(degrees, 360.0)) % _TURN
    order = np.argsort(angles, kind="stable")
    angles = angles[order]
    if float(np.diff(angles, append=angles[0] + _TURN).min()) <= 0:
        raise MetrologyError(
            "direction-twice",
            "Two radii have the same direction (0° and 360° are one): keep one reading for each direction.",
            "trace",
        )
    return RadialTrace(angles, radii[order])


def trace_about(points: npt.ArrayLike, centre_mm: tuple[float, float] | None = None) -> RadialTrace:
    """The trace of points (n, 2) in mm about a centre, without one about that of the least-squares circle.

    Points in exactly the same direction, as the first and last of a closed trace, become one with their mean radius.
    Raises MetrologyError as `least_squares_circle` does, or with code `point-on-centre`.
    """
    if centre_mm is None:
        circle = least_squares_circle(points)
        centre_mm = (circle.x_mm, circle.y_mm)
    near = np.asarray(points, dtype=np.float64) - np.asarray(centre_mm)
    radii = np.hypot(near[:, 0], near[:, 1])
    if not (radii > 0).all():
        raise MetrologyError("point-on-centre", "A point lies on the centre and has no direction from it.", "points")
    found: Floats = np.arctan2(near[:, 1], near[:, 0]) % _TURN
    angles, place = np.unique(found, return_inverse=True)
    return RadialTrace(angles, np.bincount(place, weights=radii) / np.bincount(place))


def without_eccentricity(trace: RadialTrace) -> RadialTrace:
    """The trace about the centre of its least-squares circle, no longer about the centre of rotation.

    Exact: the points are taken over, whereas leaving out the first harmonic alone would keep the limaçon's e²/4R of
    second harmonic, an ovality that the part does not have (ISO 4291, from memory). The directions change with it.
    """
    return trace_about(trace.points_mm())


def evenly(trace: RadialTrace, count: int) -> RadialTrace:
    """The trace in `count` even directions from 0°, by a periodic cubic spline between its readings.

    Raises MetrologyError with code `directions-too-sparse` when 46° or more have no reading.
    """
    from scipy.interpolate import CubicSpline

    if trace.widest_gap_rad > _WIDEST_GAP:
        raise MetrologyError(
            "directions-too-sparse",
            f"The trace has no reading over {np.degrees(trace.widest_gap_rad):.0f}°: measure all round the section, "
            "in eight directions or more.",
            "trace",
        )
    start = trace.angles_rad[0]
    spline = CubicSpline(
        np.append(trace.angles_rad, start + _TURN), np.append(trace.radii_mm, trace.radii_mm[0]), bc_type="periodic"
    )
    angles = _even_angles(count)
    return RadialTrace(angles, np.asarray(spline(start + (angles - start) % _TURN), dtype=np.float64))


def _even_angles(count: int) -> Floats:
    return np.asarray(np.arange(count) * (_TURN / count), dtype=np.float64)


def _one_row(numbers: npt.ArrayLike) -> Floats:
    try:
        row = np.asarray(numbers, dtype=np.float64)
    except (TypeError, ValueError):
        row = np.empty((0, 0))
    if row.ndim != 1 or len(row) < 3:
        raise MetrologyError("trace-shape", "A trace is a row of at least three numbers.", "trace")
    return row
