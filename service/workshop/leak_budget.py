"""The uncertainty budget of a back leakage, a volume over a time: JCGM 100, 5.1.2 and, relative, 5.1.6."""

from collections.abc import Sequence
from decimal import ROUND_UP, Decimal

from service.hydraulics.leak_flow import STOPWATCH_HALF_WIDTH_S, flow_per_ml, flow_per_s
from service.metrology.budget_rows import timing_row
from service.metrology.kept_budget import BudgetRow, UncertaintyBudget, kept_budget
from service.workshop.measurements import InstrumentUse
from service.workshop.reading_budget import instrument_rows

_FINEST = Decimal("0.00001")
_NOT_KNOWN = "What the oil's temperature and the pressure between readings do to the flow is in no line."


def leak_budget(volume_ml: Decimal, seconds: int, cylinder: InstrumentUse) -> UncertaintyBudget:
    """Of the flow (ml/min) of that volume (ml) in that time (s, above 0), caught in the cylinder by a stopwatch.

    Raises MetrologyError as `kept_budget` does.
    """
    rows, unknown = instrument_rows(cylinder, flow_per_ml(seconds))
    return flow_budget(volume_ml, seconds, rows, unknown, cylinder.expanded_uncertainty)


def flow_budget(
    volume_ml: Decimal, seconds: int, rows: Sequence[BudgetRow], unknown: Sequence[str], calibration_ml: Decimal
) -> UncertaintyBudget:
    """The same of a volume whose own rows are known; U is at least what its calibration's U (ml) makes of the flow."""
    source = "stopwatch started and stopped by hand: common practice, no source"
    slope = flow_per_s(volume_ml, seconds)
    timing = [timing_row(STOPWATCH_HALF_WIDTH_S, source, slope)] if slope else []
    least = (calibration_ml * flow_per_ml(seconds)).quantize(_FINEST, rounding=ROUND_UP)
    return kept_budget([*rows, *timing], "ml/min", least, (*unknown, _NOT_KNOWN))
