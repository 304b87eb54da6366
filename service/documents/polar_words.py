"""What stands below a polar plot, and the plot in words for whoever does not see it."""

from dataclasses import dataclass

import numpy as np

from service.documents.drawing import line, words
from service.documents.polar_lines import LIMIT_DASHES, LIMIT_WIDTH, PROFILE_WIDTH, Reference
from service.documents.polar_scale import MIDDLE, PolarScale, in_um
from service.metrology.measured_points import Floats
from service.metrology.roundness import ReferenceCircle, Roundness

_ROW = 26
_START = 2 * MIDDLE + 16


@dataclass(frozen=True, slots=True)
class Told:
    """What a plot shows: the circle it is drawn about, the circles in it, its limit in mm and its scale."""

    about: Reference
    circles: tuple[Reference, ...]
    limit_mm: float | None
    scale: PolarScale
    found: Roundness

    @property
    def sizes(self) -> tuple[tuple[Reference, ReferenceCircle], ...]:
        """The circles shown, each with its size."""
        all_of = ((one, one.of(self.found)) for one in self.circles)
        return tuple((one, circle) for one, circle in all_of if circle is not None)

    @property
    def magnified(self) -> str:
        """By how much, in words."""
        return f"magnified {self.scale.magnification:,.10g} times against the radius"


def legend(told: Told) -> tuple[list[str], float]:
    """The rows below the plot, and where they end: each line with its meaning, the scale bar, the magnification."""
    lines: list[tuple[str, str | None, float]] = [("Profile", None, PROFILE_WIDTH)]
    for one, circle in told.sizes:
        text = f"{one.short} {one.label} {in_um(circle.deviation_mm)} µm"
        lines.append((text, one.dashes, one.width))
    if told.limit_mm is not None:
        lines.append((f"Limit of the deviation, {in_um(told.limit_mm)} µm", LIMIT_DASHES, LIMIT_WIDTH))
    marks: list[str] = []
    y = _START
    for text, dashes, width in lines:
        marks += [line(10, y - 6, 50, y - 6, width, dashes), words(60, y, text)]
        y += _ROW
    bar = told.scale.bar_drawn
    marks += [line(10, y - 5, 10 + bar, y - 5, 2), line(10, y - 10, 10, y, 2), line(10 + bar, y - 10, 10 + bar, y, 2)]
    marks.append(words(max(20 + bar, 60), y, f"= {told.scale.bar_um:f} µm along the radius"))
    marks.append(words(10, y + _ROW, told.magnified.capitalize()))
    return marks, y + _ROW + 14


def described(told: Told, angles: Floats, radii: Floats) -> str:
    """The plot in words."""
    out, into = int(np.argmax(radii)), int(np.argmin(radii))
    middle = float(radii[out] + radii[into]) / 2
    parts = [
        f"Profile of {len(radii)} points about the centre of the {told.about.label.lower()} circle, "
        f"form {told.magnified}.",
        f"Farthest out at {np.degrees(angles[out]):.0f}°, farthest in at {np.degrees(angles[into]):.0f}°, "
        f"{in_um(float(radii[out] - radii[into]))} µm between them about a radius of {middle:.4f} mm.",
    ]
    parts += [f"{one.label} ({one.short}): deviation {in_um(circle.deviation_mm)} µm." for one, circle in told.sizes]
    if told.limit_mm is not None:
        parts.append(f"Limit of the deviation: {in_um(told.limit_mm)} µm.")
    return " ".join(parts)
