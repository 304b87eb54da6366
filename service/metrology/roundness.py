"""Roundness of one section by its four reference circles: ISO 12181-1 and -2, ISO 4291."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from service.metrology.circle_centres import distances
from service.metrology.circumscribed_circle import circumscribed_centre
from service.metrology.errors import MetrologyError
from service.metrology.inscribed_circle import inscribed_centre
from service.metrology.least_squares_circle import least_squares_centre
from service.metrology.measured_points import Floats, MeasuredPoints, measured_points
from service.metrology.minimum_zone import minimum_zone_centre


@dataclass(frozen=True, slots=True)
class ReferenceCircle:
    """One reference circle in mm, and the roundness deviation from its centre.

    `deviation_mm` is the largest less the smallest distance of a point from the centre: peak to valley, a difference
    of radii (RONt). An ovality as a difference of diameters is twice the RONt of the same oval.
    """

    x_mm: float
    y_mm: float
    radius_mm: float
    deviation_mm: float


@dataclass(frozen=True, slots=True)
class MinimumZone(ReferenceCircle):
    """The minimum zone in mm: its two circles, and as `radius_mm` the circle midway between them."""

    inner_mm: float
    outer_mm: float


@dataclass(frozen=True, slots=True)
class Roundness:
    """The four reference circles of one section.

    `maximum_inscribed` is None where the points leave one side open, as those of an arc do, or are no outline: no
    largest circle lies within them. All else is defined for an arc as well.
    """

    least_squares: ReferenceCircle
    minimum_zone: MinimumZone
    minimum_circumscribed: ReferenceCircle
    maximum_inscribed: ReferenceCircle | None


def roundness(points: npt.ArrayLike) -> Roundness:
    """The four reference circles of points (n, 2) in mm, n ≥ 3, in any order.

    Terms and parameters: ISO 12181-1:2011 clause 3 (reference circles LSCI, MZCI, MCCI, MICI; RONt); methods:
    ISO 4291:1985. Clause numbers from memory. No filter is applied and no stylus correction is made.

    Raises MetrologyError as `measured_points` and `least_squares_circle` do.
    """
    section = measured_points(points)
    start = least_squares_centre(section.xy)
    try:
        inscribed = _inscribed(section)
    except MetrologyError as refusal:
        if refusal.code not in ("not-surrounded", "points-scattered"):
            raise
        inscribed = None
    return Roundness(_least_squares(section, start), _zone(section, start), _circumscribed(section), inscribed)


def least_squares_circle(points: npt.ArrayLike) -> ReferenceCircle:
    """Least-squares reference circle (LSCI) of points (n, 2) in mm: ISO 12181-1 clause 3.3 (number from memory).

    Raises MetrologyError as `measured_points` does, or with code `points-nearly-straight`.
    """
    section = measured_points(points)
    return _least_squares(section, least_squares_centre(section.xy))


def minimum_zone(points: npt.ArrayLike) -> MinimumZone:
    """Minimum zone reference circles (MZCI) of points (n, 2) in mm: ISO 12181-1 clause 3.3 (number from memory).

    The ring is the narrowest there is, found by listing and proved against all points (`minimum_zone_centre`).
    Raises MetrologyError as `measured_points` does, or with code `points-nearly-straight`.
    """
    section = measured_points(points)
    return _zone(section, least_squares_centre(section.xy))


def minimum_circumscribed_circle(points: npt.ArrayLike) -> ReferenceCircle:
    """Minimum circumscribed circle (MCCI) of points (n, 2) in mm: ISO 12181-1 clause 3.3 (number from memory).

    For a shaft: the smallest ring gauge. Raises MetrologyError as `measured_points` does.
    """
    return _circumscribed(measured_points(points))


def maximum_inscribed_circle(points: npt.ArrayLike) -> ReferenceCircle:
    """Maximum inscribed circle (MICI) of points (n, 2) in mm: ISO 12181-1 clause 3.3 (number from memory).

    For a hole: the largest plug gauge. It is the largest empty circle that has its centre among the points (within
    their convex hull); its centre need not be the only one, its radius is. Raises MetrologyError as
    `measured_points` does, with code `not-surrounded` when the points leave one side open, or `points-scattered`.
    """
    return _inscribed(measured_points(points))


def _least_squares(section: MeasuredPoints, centre: Floats) -> ReferenceCircle:
    apart = distances(centre, section.xy)
    return _circle(section, centre, float(apart.mean()), apart)


def _circumscribed(section: MeasuredPoints) -> ReferenceCircle:
    centre = circumscribed_centre(section.xy)
    apart = distances(centre, section.xy)
    return _circle(section, centre, float(apart.max()), apart)


def _inscribed(section: MeasuredPoints) -> ReferenceCircle:
    centre = inscribed_centre(section.xy)
    apart = distances(centre, section.xy)
    return _circle(section, centre, float(apart.min()), apart)


def _zone(section: MeasuredPoints, start: Floats) -> MinimumZone:
    centre = minimum_zone_centre(section.xy, start)
    apart = distances(centre, section.xy)
    inner, outer = float(apart.min()), float(apart.max())
    scale = section.scale_mm
    midway = _circle(section, centre, inner + (outer - inner) / 2, apart)
    return MinimumZone(
        midway.x_mm, midway.y_mm, midway.radius_mm, midway.deviation_mm, inner_mm=scale * inner, outer_mm=scale * outer
    )


def _circle(section: MeasuredPoints, centre: Floats, radius: float, apart: Floats) -> ReferenceCircle:
    x_mm, y_mm = section.place_mm(centre)
    scale = section.scale_mm
    return ReferenceCircle(x_mm, y_mm, scale * radius, scale * float(np.ptp(apart)))
