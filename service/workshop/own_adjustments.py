"""The workshop's own adjustments, read out of an overhaul: discs changed between two opening pressures."""

from collections.abc import Iterable
from decimal import Decimal

from service.hydraulics.adjustment_slope import Adjustment
from service.hydraulics.opening import OpeningPressure
from service.workshop.entries import BenchRunStarted, BenchStepRecorded, Content, DiscsChanged, PartFitted, PartReworked
from service.workshop.step_results import OpeningPressureResult
from service.workshop.vocabulary import RunPurpose


def mean_opening_bar(result: OpeningPressureResult) -> Decimal:
    """The mean of the strokes of one step, bar."""
    return OpeningPressure(result.strokes_bar).mean_bar


def adjustments_in(entries: Iterable[tuple[int, Content]]) -> tuple[Adjustment, ...]:
    """Each change of discs between two opening pressures of proving runs, in the order of the entries of one overhaul.

    A part fitted or reworked between them has its own say in the pressure, so nothing is read across it.
    """
    found: list[Adjustment] = []
    proving: set[int] = set()
    before: Decimal | None = None
    change = Decimal(0)
    for seq, content in entries:
        match content:
            case BenchRunStarted(purpose=RunPurpose.PROVING):
                proving.add(seq)
            case PartFitted() | PartReworked():
                before, change = None, Decimal(0)
            case DiscsChanged(added=added, removed=removed):
                change += sum(added, Decimal(0)) - sum(removed, Decimal(0))
            case BenchStepRecorded(run=run, result=OpeningPressureResult() as result) if run in proving:
                after = mean_opening_bar(result)
                if before is not None and change:
                    found.append(Adjustment(change, after - before))
                before, change = after, Decimal(0)
            case _:
                pass
    return tuple(found)
