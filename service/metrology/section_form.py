"""The form of one whole section as a limit judges it: the profile after its filter, its reference circles and lobes."""

import math
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
import numpy.typing as npt

from service.metrology.errors import MetrologyError
from service.metrology.lobing import LobingSpectrum, lobing_spectrum
from service.metrology.measured_points import Floats
from service.metrology.radial_trace import RadialTrace, evenly, trace_about
from service.metrology.roundness import Roundness, least_squares_circle, roundness
from service.metrology.roundness_filter import READINGS_PER_UNDULATION, filtered

FEWEST_DIRECTIONS = 8
"""Eight even directions are the sparsest profile that says anything of a lobed form."""
_WIDEST_GAP_DEG = 46.0  # eight even directions, with a little room
_MOST_FITTED = 2048  # directions in which uneven readings are gathered before waves are fitted to them
_FINEST_EVEN = 3600
_FINEST_MM = Decimal("0.00001")


@dataclass(frozen=True, slots=True, eq=False)
class SectionForm:
    """One section evaluated: points (n, 2) in mm as judged, after the filter if there was one."""

    points_mm: Floats
    circles: Roundness
    lobes: LobingSpectrum


def section_form(points: npt.ArrayLike, cutoff_upr: int | None = None) -> SectionForm:
    """Evaluate points (n, 2) in mm, measured all round one section, in any order.

    With `cutoff_upr` the profile passes the Gaussian low-pass filter of that many undulations per revolution first
    (ISO 12181-2, ISO 16610-21), about its least-squares centre. Points in one direction count once.

    Raises MetrologyError as `roundness` does; also `directions-too-sparse`: fewer than eight directions, a gap of 46°
    or more, or too few readings for the cut-off.
    """
    raw = np.asarray(points, dtype=np.float64)
    circle = least_squares_circle(points)
    centre = (circle.x_mm, circle.y_mm)
    trace = trace_about(raw, centre)
    _refuse_sparse(trace, cutoff_upr)
    if cutoff_upr is not None:
        trace = filtered(_even(trace, cutoff_upr), cutoff_upr)
        raw = trace.points_mm() + np.asarray(centre)
    return SectionForm(raw, roundness(raw), _lobes(trace))


def section_lobes(points: npt.ArrayLike) -> LobingSpectrum | None:
    """The lobes of points (n, 2) in mm about their least-squares centre, without a filter (ISO 4291, from memory).

    None where the points carry too few undulations, as those of an arc or of a triangle do. Raises MetrologyError as
    `least_squares_circle` does.
    """
    try:
        return _lobes(trace_about(points))
    except MetrologyError as refusal:
        if refusal.code != "directions-too-sparse":
            raise
        return None


def rounded_mm(length_mm: float) -> Decimal:
    """A length in mm to a hundredth of a micrometre: the digits below are those of no instrument at a bench."""
    return Decimal(repr(length_mm)).quantize(_FINEST_MM)


def _lobes(trace: RadialTrace) -> LobingSpectrum:
    return lobing_spectrum(trace if trace.evenly_spaced else _gathered(trace))


def _gathered(trace: RadialTrace) -> RadialTrace:
    """Many uneven readings as the means of narrow sectors, so that fitting waves to them stays quick."""
    if len(trace.radii_mm) <= _MOST_FITTED:
        return trace
    sector = np.floor(trace.angles_rad * (_MOST_FITTED / math.tau)).astype(np.int64)
    _, place, count = np.unique(sector, return_inverse=True, return_counts=True)
    angles = np.bincount(place, weights=trace.angles_rad) / count
    return RadialTrace(angles, np.bincount(place, weights=trace.radii_mm) / count)


def _refuse_sparse(trace: RadialTrace, cutoff_upr: int | None) -> None:
    count, gap_deg = len(trace.radii_mm), math.degrees(trace.widest_gap_rad)
    if count < FEWEST_DIRECTIONS:
        sentence = (
            f"The points lie in {count} directions, and a section needs {FEWEST_DIRECTIONS} or more: three points "
            "are round in any case. Repeated points count once."
        )
        raise MetrologyError("directions-too-sparse", sentence, "points")
    if gap_deg > _WIDEST_GAP_DEG:
        sentence = f"There is no point over {gap_deg:.0f}° of the turn: measure all round the section."
        raise MetrologyError("directions-too-sparse", sentence, "points")
    if cutoff_upr is None:
        return
    needed = READINGS_PER_UNDULATION * cutoff_upr
    if count < needed:
        sentence = (
            f"The filter at {cutoff_upr} undulations per revolution needs {needed} directions or more, and there "
            f"are {count}: measure more of them."
        )
        raise MetrologyError("directions-too-sparse", sentence, "points")
    if gap_deg > 180 / cutoff_upr:
        sentence = (
            f"There is no point over {gap_deg:.1f}° of the turn, which hides a whole undulation from the filter at "
            f"{cutoff_upr} per revolution: measure in even steps."
        )
        raise MetrologyError("directions-too-sparse", sentence, "points")


def _even(trace: RadialTrace, cutoff_upr: int) -> RadialTrace:
    if trace.evenly_spaced:
        return trace
    return evenly(trace, max(len(trace.radii_mm), READINGS_PER_UNDULATION * cutoff_upr, _FINEST_EVEN))
