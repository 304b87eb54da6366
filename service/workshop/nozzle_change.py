"""How much the flow area of a nozzle changed between two gaugings of it."""

from decimal import ROUND_UP, Decimal

from service.metrology.flow_area import FlowArea, compare_areas
from service.workshop.nozzle_found import Bounded, NozzleFound

_STEP = Decimal("0.01")
_K = Decimal(2)


def change_between(before: NozzleFound | None, now: NozzleFound | None) -> Bounded | None:
    """In per cent of what it was before, with U (k = 2); None where one of the two areas is not known.

    Both are taken as independent, as `compare_areas` does, so U errs on the safe side. The ends are what the brackets
    of both leave possible.
    """
    if before is None or now is None or before.area is None or now.area is None:
        return None
    was, is_now = before.area, now.area
    compared = compare_areas(FlowArea(is_now.value, is_now.uncertainty / _K), FlowArea(was.value, was.uncertainty / _K))
    return Bounded(
        value=compared.percent.quantize(_STEP),
        uncertainty=(_K * compared.percent_standard_uncertainty).quantize(_STEP, ROUND_UP),
        least=(100 * (is_now.least / was.most - 1)).quantize(_STEP),
        most=(100 * (is_now.most / was.least - 1)).quantize(_STEP),
    )
