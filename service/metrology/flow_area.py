"""Flow area of a nozzle: the sum of its holes' areas, against nominal and since new. Areas in mm²."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.metrology.errors import MetrologyError
from service.metrology.hole_brackets import HoleSize, closed_sizes
from service.metrology.typed_numbers import plain

_PI = Decimal("3.141592653589793238462643383")


@dataclass(frozen=True, slots=True)
class FlowArea:
    """The area of all holes together and its standard uncertainty, mm²."""

    area_mm2: Decimal
    standard_uncertainty_mm2: Decimal

    def expanded_mm2(self, k: Decimal = Decimal(2)) -> Decimal:
        """U = k·u, mm²; the rectangles of several holes make it nearly normal, JCGM 100, G.2.1."""
        return k * self.standard_uncertainty_mm2


@dataclass(frozen=True, slots=True)
class AreaComparison:
    """An area against another: the difference in mm², and in per cent of the other, each with its u."""

    difference_mm2: Decimal
    standard_uncertainty_mm2: Decimal
    percent: Decimal
    percent_standard_uncertainty: Decimal


def flow_area(holes: Sequence[HoleSize]) -> FlowArea:
    """Sum of π·d² ÷ 4 over the holes, with u by JCGM 100, 5.1.3 and 5.2.2: sensitivities π·d ÷ 2.

    The rectangles of the brackets are independent from hole to hole; the doubt of the pins is one and the same
    in every hole, so those terms add up before they are squared. Discharge coefficients stay out of it: this is
    the geometric area. Raises MetrologyError `hole-not-gauged` without a hole, `hole-open` as `closed_sizes`.
    """
    if not holes:
        raise MetrologyError("hole-not-gauged", "There is no hole to add up: gauge the holes of the nozzle.", "holes")
    sizes = closed_sizes(holes)
    area = _sum_of_circles(sizes)
    rectangles = shared = Decimal(0)
    for size, hole in zip(sizes, holes, strict=True):
        sensitivity = _PI * size / 2
        rectangles += (sensitivity * (hole.bracket_standard_uncertainty_mm or Decimal(0))) ** 2
        shared += sensitivity * hole.pins_standard_uncertainty_mm
    return FlowArea(area, (rectangles + shared**2).sqrt())


def area_bounds(holes: Sequence[HoleSize]) -> tuple[Decimal, Decimal]:
    """The least and the most area (mm²) that the intervals of the holes leave possible, without a distribution.

    Raises MetrologyError `hole-open` as `closed_sizes`.
    """
    closed_sizes(holes)
    lowers = [hole.lower_mm for hole in holes if hole.lower_mm is not None]
    uppers = [hole.upper_mm for hole in holes if hole.upper_mm is not None]
    return _sum_of_circles(lowers), _sum_of_circles(uppers)


def nominal_flow_area(
    count: int, diameter_mm: Decimal, lower_mm: Decimal | None = None, upper_mm: Decimal | None = None
) -> FlowArea:
    """The area of a nozzle as the sheet has it: so many holes of one diameter, mm².

    With the limits of size the diameter of a new nozzle is taken as a rectangle between them, the same in all
    holes, since one tool makes them; without, nominal is a figure without doubt.
    Raises MetrologyError `hole-count`, `diameter-not-positive`, `limits-crossed`.
    """
    if count < 1:
        raise MetrologyError("hole-count", f"A nozzle has no {count} holes: give at least one.", "holes")
    if not diameter_mm.is_finite() or diameter_mm <= 0:
        raise MetrologyError(
            "diameter-not-positive", f"A hole of {plain(diameter_mm)} mm is none: give over zero.", "diameter_mm"
        )
    doubt = Decimal(0)
    if lower_mm is not None and upper_mm is not None:
        if not lower_mm <= upper_mm:
            raise MetrologyError("limits-crossed", "The lower limit is above the upper: exchange them.", "lower_mm")
        doubt = count * _PI * diameter_mm / 2 * (upper_mm - lower_mm) / Decimal(12).sqrt()
    return FlowArea(count * _PI * diameter_mm**2 / 4, doubt)


def compare_areas(now: FlowArea, reference: FlowArea) -> AreaComparison:
    """What a flow area is beyond another (nominal, or the same nozzle when new), with u: JCGM 100, 5.1.2.

    Both are taken as independent. Gauged with the same pins their common doubt partly cancels, so the stated u
    errs on the safe side. Raises MetrologyError `area-not-positive`.
    """
    if reference.area_mm2 <= 0:
        raise MetrologyError("area-not-positive", "The area to compare with is zero: gauge it first.", "reference")
    ratio = now.area_mm2 / reference.area_mm2
    parts = (
        now.standard_uncertainty_mm2 / reference.area_mm2,
        ratio * reference.standard_uncertainty_mm2 / reference.area_mm2,
    )
    difference = (now.standard_uncertainty_mm2**2 + reference.standard_uncertainty_mm2**2).sqrt()
    return AreaComparison(
        now.area_mm2 - reference.area_mm2,
        difference,
        100 * (ratio - 1),
        100 * (parts[0] ** 2 + parts[1] ** 2).sqrt(),
    )


def _sum_of_circles(diameters_mm: Sequence[Decimal]) -> Decimal:
    return sum((_PI * size**2 / 4 for size in diameters_mm), Decimal(0))
