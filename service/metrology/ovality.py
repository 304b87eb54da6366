"""Ovality of a round hole or pin from two-point diameters taken in several directions of one section."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import plain


@dataclass(frozen=True, slots=True)
class DiameterReading:
    """One two-point diameter: its direction in degrees and the reading in millimetres."""

    direction_deg: Decimal
    diameter_mm: Decimal


@dataclass(frozen=True, slots=True)
class Ovality:
    """Largest less smallest diameter in millimetres, and the readings that gave them."""

    ovality_mm: Decimal
    largest: DiameterReading
    smallest: DiameterReading


def ovality(readings: Sequence[DiameterReading]) -> Ovality:
    """Ovality of one section: the largest two-point diameter less the smallest (ISO 14405-1, two-point size).

    A two-point diameter at 0° is the one at 180°, so directions count modulo 180. Of equal diameters the one
    read first is named. Two-point diameters do not show a three-lobed form: roundness does.

    Raises MetrologyError with code `too-few-directions`, `direction-twice` or `diameter-not-positive`.
    """
    # Decimal's remainder keeps the sign: the second turn brings −90° to 90°.
    directions = [
        (reading.direction_deg % 180 + 180) % 180 for reading in readings if reading.direction_deg.is_finite()
    ]
    if len(directions) < 2 or len(directions) < len(readings):
        raise MetrologyError(
            "too-few-directions",
            "Ovality needs diameters in at least two directions of the same section: measure one more.",
            "diameters",
        )
    for reading in readings:
        if not reading.diameter_mm.is_finite() or reading.diameter_mm <= 0:
            raise MetrologyError(
                "diameter-not-positive",
                f"The diameter at {plain(reading.direction_deg)}° reads {plain(reading.diameter_mm)} mm: "
                "a diameter is over zero, so read it again.",
                "diameters",
            )
    if len(set(directions)) < len(directions):
        raise MetrologyError(
            "direction-twice",
            "Two diameters have the same direction (0° and 180° are one): turn the part or the instrument "
            "and keep one reading for each direction.",
            "diameters",
        )
    largest = max(readings, key=lambda reading: reading.diameter_mm)
    smallest = min(readings, key=lambda reading: reading.diameter_mm)
    return Ovality(largest.diameter_mm - smallest.diameter_mm, largest, smallest)


def uncertainty_of_difference(expanded_uncertainty: Decimal) -> Decimal:
    """Expanded uncertainty of the difference of two readings that each have U: U·√2, in the unit given.

    JCGM 100 (GUM) 5.1.2: the variances of two uncorrelated inputs add, and the coverage factor stays. What
    both readings share (a setting error of one instrument) cancels in a difference, so U·√2 errs on the
    safe side. Raises MetrologyError with code `uncertainty-negative`.
    """
    if not expanded_uncertainty.is_finite() or expanded_uncertainty < 0:
        raise MetrologyError(
            "uncertainty-negative",
            f"An expanded uncertainty of {plain(expanded_uncertainty)} has no meaning: it is zero or more.",
            "expanded_uncertainty",
        )
    return expanded_uncertainty * Decimal(2).sqrt()
