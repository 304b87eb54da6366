"""A photograph of one spray hole and its scale in; diameter, ellipse, ovality and roundness out, or a refusal."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from service.metrology.hole_image import conditions
from service.metrology.hole_image.conditions import HoleImageError, missed_conditions
from service.metrology.hole_image.edge import Edge, trace_edge
from service.metrology.hole_image.ellipse import Ellipse, fit_ellipse
from service.metrology.hole_image.findings import EdgeQuality, HoleEvaluation, Point
from service.metrology.hole_image.profiles import (
    filtered_profile,
    harmonic_columns,
    harmonics,
    independent_points,
    mean_circle,
)
from service.metrology.hole_image.refusals import coverage_of, refuse_poor_edge, refuse_unfit_picture
from service.metrology.hole_image.scale import Scale
from service.metrology.hole_image.search import find_hole, too_small
from service.metrology.hole_image.uncertainty import EdgeDoubt, diameter, ovality, roundness

Array = NDArray[Any]

_ORDER = (
    4  # harmonics that hold size, centre and an ellipse of ten per cent; what is left counts as scatter of the edge
)
_NO_HOLE_FORM = 0.10  # of the diameter, peak to valley besides ovality; a square has some 0.16


def evaluate_hole(picture: Array, scale: Scale) -> HoleEvaluation:
    """Measure the one spray hole in a photograph.

    `picture`: linear light 0 to 1, shape (rows, columns), of floats; `scale` in µm per pixel. Lengths come in µm and
    pixels with their expanded uncertainty (`uncertainty` says of what). The conditions and directions are
    those of the package.

    Raises HoleImageError with code `picture-unreadable`, `picture-too-small`, `picture-too-large`, `no-hole`,
    `hole-touches-border`, `two-holes`, `hole-too-small`, `contrast-too-low`, `overexposed`, `blur-too-wide` or
    `edge-too-little`.
    """
    refuse_unfit_picture(picture)
    hole = find_hole(picture)
    edge = trace_edge(picture, hole)
    refuse_poor_edge(edge, hole.radius)
    edge_points = _less_bend(edge, edge.points(edge.used))
    x, y, _ = mean_circle(edge_points)
    away = edge_points - (x, y)
    angles, radii = np.arctan2(away[:, 1], away[:, 0]) % (2 * np.pi), np.hypot(away[:, 0], away[:, 1])
    weights = harmonics(angles, radii, _ORDER)
    if 2 * weights[0] < conditions.SMALLEST_DIAMETER_PX:
        raise too_small(2 * float(weights[0]))
    residuals = radii - harmonic_columns(angles, _ORDER) @ weights
    form = filtered_profile(angles, radii)
    besides_oval = filtered_profile(angles, radii - harmonic_columns(angles, 2)[:, 3:] @ weights[3:5])
    if np.ptp(besides_oval) > _NO_HOLE_FORM * 2 * weights[0]:
        raise HoleImageError(
            "no-hole", "What stands out in the picture is not round: photograph one hole, square on.", "picture"
        )
    scatter = float(np.sqrt(np.sum(residuals**2) / max(residuals.size - 2 * _ORDER - 1, 1)))
    independent = independent_points(residuals)
    doubt = EdgeDoubt(scatter, independent, edge.blur_px, float(weights[0]), scale)
    ellipse = fit_ellipse(edge_points)
    quality = _quality(edge, scatter, independent, 2 * float(weights[0]), ellipse, max(picture.shape))
    return HoleEvaluation(
        hole_is_dark=hole.is_dark,
        centre_px=(x, y),
        mean_diameter=diameter(2 * float(weights[0]), doubt),
        ellipse_centre_px=(ellipse.x, ellipse.y),
        major=diameter(2 * ellipse.semi_major, doubt, one_direction=True),
        minor=diameter(2 * ellipse.semi_minor, doubt, one_direction=True),
        angle_deg=ellipse.angle_deg,
        ovality=ovality(2 * (ellipse.semi_major - ellipse.semi_minor), doubt),
        ovality_by_harmonic=ovality(4 * float(np.hypot(weights[3], weights[4])), doubt),
        roundness=roundness(float(np.ptp(form)), doubt),
        edge_px=_as_points(edge_points),
        rejected_px=_as_points(edge.points(edge.rejected)),
        quality=quality,
        um_per_pixel=scale.um_per_pixel,
    )


def _less_bend(edge: Edge, edge_points: Array) -> Array:
    """Edge points moved out by what blur draws a curved edge in: half the blur's variance times the curvature.

    A disc of radius R under a Gaussian blur σ is half bright at R − σ²/(2R) to the first order in (σ/R)²; the
    curvature is that of the fitted ellipse at each point.
    """
    ellipse = fit_ellipse(edge_points)
    away = edge_points - (ellipse.x, ellipse.y)
    direction = np.arctan2(away[:, 1], away[:, 0])
    a, b = ellipse.semi_major, ellipse.semi_minor
    t = np.arctan2(
        a * np.sin(direction - np.radians(ellipse.angle_deg)), b * np.cos(direction - np.radians(ellipse.angle_deg))
    )
    bend = a * b / ((a * np.sin(t)) ** 2 + (b * np.cos(t)) ** 2) ** 1.5
    drawn_in = edge.blur_px**2 * bend / 2
    return np.asarray(edge_points + drawn_in[:, None] * np.column_stack([np.cos(direction), np.sin(direction)]))


def _quality(
    edge: Edge, scatter: float, independent: float, diameter_px: float, ellipse: Ellipse, side_px: int
) -> EdgeQuality:
    coverage, gap = coverage_of(edge)
    return EdgeQuality(
        points_used=int(edge.used.sum()),
        points_tried=int(edge.used.size),
        independent_points=independent,
        coverage=coverage,
        largest_gap_deg=gap,
        contrast=edge.contrast,
        noise=edge.noise,
        blur_px=edge.blur_px,
        scatter_px=scatter,
        not_nominal=missed_conditions(
            diameter_px=diameter_px,
            blur_px=edge.blur_px,
            contrast=edge.contrast,
            noise=edge.noise,
            coverage=coverage,
            ovality_px=2 * (ellipse.semi_major - ellipse.semi_minor),
            side_px=side_px,
        ),
    )


def _as_points(points: Array) -> tuple[Point, ...]:
    return tuple((float(x), float(y)) for x, y in points)
