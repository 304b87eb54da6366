"""The opening pressures of one injector from overhaul to overhaul: as it was found, and as it was left."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from service.workshop.entries import BenchRunStarted, BenchStepRecorded, Content
from service.workshop.own_adjustments import mean_opening_bar
from service.workshop.step_results import OpeningPressureResult
from service.workshop.vocabulary import RunPurpose


@dataclass(frozen=True, kw_only=True)
class OpeningVisit:
    """One overhaul, bar: None where no opening pressure was measured, `hours` None where they were not known.

    `hours` are those that the injector had run since the overhaul before.
    """

    overhaul_id: int
    hours: int | None
    as_found_bar: Decimal | None
    as_left_bar: Decimal | None


@dataclass(frozen=True, kw_only=True)
class InService:
    """The hours between two overhauls with the pressures at both ends, bar."""

    hours: int
    as_left_bar: Decimal
    as_found_bar: Decimal


def opening_visit(overhaul_id: int, hours: int | None, entries: Iterable[tuple[int, Content]]) -> OpeningVisit:
    """What the entries of one overhaul say: the newest as-found pressure, and the newest that a proving run passed."""
    purposes: dict[int, RunPurpose] = {}
    found: dict[RunPurpose, Decimal] = {}
    for seq, content in entries:
        match content:
            case BenchRunStarted(purpose=purpose):
                purposes[seq] = purpose
            case BenchStepRecorded(run=run, result=OpeningPressureResult() as result, outcome=outcome):
                purpose = purposes[run]
                if outcome.passed or purpose is RunPurpose.AS_FOUND:
                    found[purpose] = mean_opening_bar(result)
            case _:
                pass
    return OpeningVisit(
        overhaul_id=overhaul_id,
        hours=hours,
        as_found_bar=found.get(RunPurpose.AS_FOUND),
        as_left_bar=found.get(RunPurpose.PROVING),
    )


def times_in_service(visits: Sequence[OpeningVisit]) -> tuple[InService, ...]:
    """Between each two overhauls, oldest first, of which hours and both pressures are known."""
    return tuple(
        InService(hours=after.hours, as_left_bar=before.as_left_bar, as_found_bar=after.as_found_bar)
        for before, after in pairwise(visits)
        if after.hours and before.as_left_bar is not None and after.as_found_bar is not None
    )


def usual_hours(visits: Sequence[OpeningVisit]) -> int | None:
    """The hours that this injector runs from one overhaul to the next, the mean of those known; None without any."""
    known = [visit.hours for visit in visits if visit.hours]
    return round(Decimal(sum(known)) / len(known)) if known else None
