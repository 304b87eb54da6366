"""From the brackets of all holes to what is kept of a nozzle: spread, flow area, against nominal and since new.

The area of a nozzle when new is the sheet's nominal one. No new nozzle is gauged before it is fitted, and the first
gauging of a serial number finds a nozzle that has run, maybe not its first: no measured value is surely "as new".
"""

from collections.abc import Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_UP, Decimal
from typing import Protocol

from service.metrology.flow_area import FlowArea, area_bounds, compare_areas, flow_area, nominal_flow_area
from service.metrology.hole_brackets import HoleSize, hole_spread
from service.metrology.limits_and_fits import LimitsOfSize
from service.workshop.nozzle_found import Bounded, HoleFound, NozzleFound
from service.workshop.vocabulary import VerdictKind

_K = Decimal(2)
_MM, _MM2, _PERCENT = Decimal("0.0001"), Decimal("0.0001"), Decimal("0.01")


class HolesWhenNew(Protocol):
    """What is known of a nozzle when new: a limit sheet's characteristic, or what somebody types at the desk."""

    @property
    def holes(self) -> int:
        """How many the nozzle has."""

    @property
    def nominal_diameter(self) -> Decimal | None:
        """Of a hole, in mm."""

    @property
    def hole_limits(self) -> LimitsOfSize | None:
        """By the class of the holes."""


def nozzle_found(
    item: HolesWhenNew, sizes: Mapping[int, HoleSize], verdicts: Mapping[int, VerdictKind], calibrated: bool
) -> NozzleFound:
    """Everything that the brackets say; what an open hole or a sheet without a nominal size leaves out is None."""
    holes = tuple(_hole(hole, size, verdicts[hole]) for hole, size in sizes.items())
    found = list(sizes.values())
    if not all(size.closed for size in found):
        return NozzleFound(holes=holes, calibrated=calibrated)
    area = flow_area(found)
    least, most = area_bounds(found)
    nominal = item.nominal_diameter
    against = None if nominal is None else nominal_flow_area(item.holes, nominal)
    return NozzleFound(
        holes=holes,
        calibrated=calibrated,
        spread=_spread(found),
        area=_bounded(area.area_mm2, area.standard_uncertainty_mm2, least, most, _MM2),
        nominal_area=None if against is None else against.area_mm2.quantize(_MM2),
        of_nominal=None if against is None else _of_nominal(area, against, least, most),
        since_new=None if against is None else _since_new(item, area, against, least, most),
    )


def _hole(hole: int, size: HoleSize, verdict: VerdictKind) -> HoleFound:
    doubt = size.standard_uncertainty_mm
    return HoleFound(
        hole=hole,
        verdict=verdict,
        entering=size.bracket.largest_entering_mm,
        refused=size.bracket.smallest_refused_mm,
        lower=size.lower_mm,
        upper=size.upper_mm,
        best=size.best_mm,
        uncertainty=None if doubt is None else (_K * doubt).quantize(_MM, ROUND_UP),
    )


def _spread(found: list[HoleSize]) -> Bounded | None:
    if len(found) < 2:
        return None
    spread = hole_spread(found)
    return _bounded(spread.spread_mm, spread.standard_uncertainty_mm, spread.least_mm, spread.most_mm, _MM)


def _of_nominal(area: FlowArea, nominal: FlowArea, least: Decimal, most: Decimal) -> Bounded:
    """In per cent of a figure without doubt."""
    compared, per_cent = compare_areas(area, nominal), 100 / nominal.area_mm2
    doubt = compared.percent_standard_uncertainty
    return _bounded(100 + compared.percent, doubt, least * per_cent, most * per_cent, _PERCENT)


def _since_new(item: HolesWhenNew, area: FlowArea, nominal: FlowArea, least: Decimal, most: Decimal) -> Bounded:
    """The change in per cent. With a class a new nozzle was anywhere inside it, the same in all holes."""
    limits, new, low, high = item.hole_limits, nominal, nominal.area_mm2, nominal.area_mm2
    if limits is not None:
        middle = (limits.min_mm + limits.max_mm) / 2
        new = nominal_flow_area(item.holes, middle, limits.min_mm, limits.max_mm)
        low = nominal_flow_area(item.holes, limits.min_mm).area_mm2
        high = nominal_flow_area(item.holes, limits.max_mm).area_mm2
    compared = compare_areas(area, new)
    ends = (100 * (least / high - 1), 100 * (most / low - 1))
    return _bounded(compared.percent, compared.percent_standard_uncertainty, *ends, _PERCENT)


def _bounded(value: Decimal, standard: Decimal, least: Decimal, most: Decimal, step: Decimal) -> Bounded:
    """Rounded to the step, the uncertainty and the two ends outwards."""
    return Bounded(
        value=value.quantize(step),
        uncertainty=(_K * standard).quantize(step, ROUND_UP),
        least=least.quantize(step, ROUND_FLOOR),
        most=most.quantize(step, ROUND_CEILING),
    )
