"""The polar plot of a section as SVG: its profile with the form magnified, reference circles, limit, scale bar.

Plain text, without a plotting library: the same drawing stands on a page and in a certificate. Lines are told apart
by their dashes and by a short name at each, never by a colour.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import numpy.typing as npt

from service.documents.drawing import drawing, element, line, path, words
from service.documents.polar_lines import LIMIT_DASHES, LIMIT_WIDTH, PROFILE_WIDTH, Reference
from service.documents.polar_scale import BASE, LEAST_FORM, MIDDLE, REACH, PolarScale, circle_radii, offset, polar_scale
from service.documents.polar_words import Told, described, legend
from service.metrology.measured_points import Floats
from service.metrology.roundness import MinimumZone, ReferenceCircle, Roundness

_WIDTH = 400
_EDGE = BASE + REACH
_TURN = 2 * np.pi
_MOST_DOTS = 72
_MOST_SHRUNK = 6
_MOST_DRAWN = 1440
_WIDEST_JOINED = np.radians(46)  # where more of the turn has no point, the profile is left open
_CURVE = np.asarray(np.linspace(0, _TURN, 181)[:-1], dtype=np.float64)


@dataclass(frozen=True, slots=True)
class PolarPlot:
    """The drawing, by how much the form is magnified against the radius, and the same in words."""

    svg: str
    magnification: float
    description: str


@dataclass(frozen=True, slots=True)
class _Ring:
    """One line round the plot: where it is labelled, and its radii over `_CURVE` in mm."""

    short: str
    label_deg: float
    dashes: str | None
    width: float
    radii_mm: Floats


def polar_plot(
    points: npt.ArrayLike,
    found: Roundness,
    *,
    about: Reference = Reference.MINIMUM_ZONE,
    shown: Sequence[Reference] = (Reference.MINIMUM_ZONE, Reference.LEAST_SQUARES),
    limit_mm: float | None = None,
    title: str = "Roundness of the section",
    drawing_id: str = "polar",
) -> PolarPlot:
    """Draw points (n, 2) in mm about the centre of one reference circle, with the circles that are to be shown.

    The circle drawn about is shown in any case; one that does not exist, or lies so far off that it would dwarf
    the profile, is left out.
    A limit of the roundness deviation is drawn as two circles that far apart, the profile midway between them.
    """
    centre = about.of(found)
    if centre is None:
        about, centre = Reference.MINIMUM_ZONE, found.minimum_zone
    angles, radii = _profile(points, centre)
    chosen = tuple(dict.fromkeys((about, *shown)))
    rings = _fitting(_rings(found, centre, chosen), radii)
    drawn_circles = [one for one in chosen if any(ring.short == one.short for ring in rings)]
    middle = float(radii.min() + radii.max()) / 2
    if limit_mm is not None:
        for side, short in ((1, "limit"), (-1, "")):
            curve = np.full(len(_CURVE), middle + side * limit_mm / 2)
            rings.append(_Ring(short, 72, LIMIT_DASHES, LIMIT_WIDTH, curve))
    extents = [radii, *(ring.radii_mm for ring in rings)]
    scale = polar_scale(min(float(one.min()) for one in extents), max(float(one.max()) for one in extents))
    marks = [*_directions(), *(mark for ring in rings for mark in _ring_marks(ring, scale))]
    marks += _profile_marks(angles, scale.drawn(radii))
    told = Told(about, tuple(drawn_circles), limit_mm, scale, found)
    rows, height = legend(told)
    text = described(told, angles, radii)
    return PolarPlot(drawing(drawing_id, _WIDTH, height, title, text, [*marks, *rows]), scale.magnification, text)


def _profile(points: npt.ArrayLike, centre: ReferenceCircle) -> tuple[Floats, Floats]:
    """Directions in radians, ascending, and radii in mm."""
    near = np.asarray(points, dtype=np.float64) - (centre.x_mm, centre.y_mm)
    angles = np.asarray(np.arctan2(near[:, 1], near[:, 0]) % _TURN, dtype=np.float64)
    order = np.argsort(angles, kind="stable")
    return angles[order], np.asarray(np.hypot(near[:, 0], near[:, 1])[order], dtype=np.float64)


def _rings(found: Roundness, centre: ReferenceCircle, chosen: Sequence[Reference]) -> list[_Ring]:
    rings: list[_Ring] = []
    for one, label_deg in zip(Reference, (135.0, 45.0, 225.0, 315.0), strict=True):
        circle = one.of(found)
        if one not in chosen or circle is None:
            continue
        sizes = (circle.outer_mm, circle.inner_mm) if isinstance(circle, MinimumZone) else (circle.radius_mm,)
        curves = [circle_radii(offset(circle, centre), size, _CURVE) for size in sizes]
        rings += [
            _Ring(one.short if number == 0 else "", label_deg, one.dashes, one.width, curve)
            for number, curve in enumerate(curves)
            if curve is not None
        ]
    return rings


def _fitting(rings: list[_Ring], radii: Floats) -> list[_Ring]:
    """Without the circles that would shrink the profile to nothing, as some about an arc do."""
    lowest, highest = float(radii.min()), float(radii.max())
    room = _MOST_SHRUNK * max(highest - lowest, LEAST_FORM * highest)
    return [one for one in rings if one.radii_mm.max() - lowest <= room and highest - one.radii_mm.min() <= room]


def _directions() -> list[str]:
    marks = [line(MIDDLE - 5, MIDDLE, MIDDLE + 5, MIDDLE), line(MIDDLE, MIDDLE - 5, MIDDLE, MIDDLE + 5)]
    for degrees in range(0, 360, 30):
        cos, sin = np.cos(np.radians(degrees)), np.sin(np.radians(degrees))
        marks.append(line(*_place(cos, sin, _EDGE - 5), *_place(cos, sin, _EDGE), 1))
        if degrees % 90 == 0:
            x, y = _place(cos, sin, _EDGE + 22)
            marks.append(words(x, y + 6, f"{degrees}°", "middle"))
    return marks


def _ring_marks(ring: _Ring, scale: PolarScale) -> list[str]:
    drawn = scale.drawn(ring.radii_mm)
    marks = [path(_places(_CURVE, drawn), True, ring.width, ring.dashes)]
    if ring.short:
        turn = np.radians(ring.label_deg)
        cos, sin = np.cos(turn), np.sin(turn)
        at = float(np.interp(turn, _CURVE, drawn))
        x, y = _place(cos, sin, _EDGE + 10)
        marks.append(line(*_place(cos, sin, at), x, y, 0.8))
        marks.append(
            words(
                x + (3 if cos > 0 else -3), y + (0 if sin > 0 else 11), ring.short, "start" if cos > 0 else "end", True
            )
        )
    return marks


def _profile_marks(angles: Floats, drawn: Floats) -> list[str]:
    marks = []
    if len(angles) <= _MOST_DOTS:
        marks = [element("circle", cx=x, cy=y, r=2.6, fill="currentColor") for x, y in _places(angles, drawn)]
    angles, drawn = _thinned(angles, drawn)
    gaps = np.diff(angles, append=angles[0] + _TURN)
    open_after = np.flatnonzero(gaps > _WIDEST_JOINED)
    if not len(open_after):
        return [*marks, path(_places(angles, drawn), True, PROFILE_WIDTH)]
    first = int(open_after[0]) + 1
    angles, drawn = np.roll(angles, -first), np.roll(drawn, -first)
    ends = np.flatnonzero(np.roll(gaps, -first) > _WIDEST_JOINED) + 1
    runs = zip(np.split(angles, ends), np.split(drawn, ends), strict=True)
    return marks + [path(_places(turn, radius), False, PROFILE_WIDTH) for turn, radius in runs if len(turn) > 1]


def _thinned(angles: Floats, drawn: Floats) -> tuple[Floats, Floats]:
    """At most `_MOST_DRAWN` places: of each direction the farthest in and the farthest out, so that no peak is lost."""
    if len(angles) <= _MOST_DRAWN:
        return angles, drawn
    edges = np.searchsorted(angles, np.linspace(0, _TURN, _MOST_DRAWN // 2 + 1))
    kept: list[int] = []
    for start, end in pairwise(edges.tolist()):
        if end > start:
            kept += sorted({start + int(np.argmin(drawn[start:end])), start + int(np.argmax(drawn[start:end]))})
    return angles[kept], drawn[kept]


def _places(angles: Floats, drawn: Floats) -> list[tuple[float, float]]:
    return list(
        zip((MIDDLE + drawn * np.cos(angles)).tolist(), (MIDDLE - drawn * np.sin(angles)).tolist(), strict=True)
    )


def _place(cos: float, sin: float, radius: float) -> tuple[float, float]:
    return float(MIDDLE + radius * cos), float(MIDDLE - radius * sin)
