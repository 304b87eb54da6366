"""The pressure traces of a certificate for machines: whose bytes, how they are read, and what counts of them."""

from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cache
from typing import Any

from pydantic import TypeAdapter

from service.documents.trace_figures import RunTrace
from service.hydraulics.trace.answer import FactAnswer, HoldAnswer, OpeningAnswer, TraceFound, answer_of
from service.hydraulics.trace.columns import TimeBase


@dataclass(frozen=True, slots=True)
class ConfirmedReading:
    """How the file is read, by whom that was confirmed and when; `facts` tells the same in words."""

    by: str
    at: str
    pressure_unit: str
    bar_per_unit: float
    time_base: TimeBase
    seconds_per_unit: float | None
    """Of a column of elapsed time; null where the times are a clock's or come from the rate."""
    rate_hz: float | None
    facts: tuple[FactAnswer, ...]


@dataclass(frozen=True, slots=True)
class RejectedEvent:
    """A detected event that counts for nothing, by a time in it, and why."""

    event: str
    at_s: str
    reason: str


@dataclass(frozen=True, slots=True)
class TraceFacts:
    """One trace: `openings` and `holds` are those that count. Numbers are results, rounded as the analysis gives them.

    Times in s, pressures in bar, rates in bar/min, leaks in mm³/s; each interval is one of 95 %. The expanded
    uncertainty of the mean is Student's factor times its standard uncertainty; the gauge's own is not in it.
    """

    number: int
    run: int
    step: str
    sha256: str
    bytes: int
    confirmed: ConfirmedReading
    rows: int
    remarks: tuple[str, ...]
    openings: tuple[OpeningAnswer, ...]
    opening_mean_bar: float | None
    opening_spread_bar: float | None
    opening_standard_uncertainty_bar: float | None
    opening_expanded_uncertainty_bar: float | None
    opening_interval: tuple[float, float] | None
    holds: tuple[HoldAnswer, ...]
    rejected: tuple[RejectedEvent, ...]


@cache
def _facts() -> TypeAdapter[TraceFacts]:
    return TypeAdapter(TraceFacts)


def trace_facts(trace: RunTrace) -> dict[str, Any]:
    """As plain JSON values."""
    return _facts().dump_python(_told(trace), mode="json")  # type: ignore[no-any-return]


def trace_facts_schema(ref_template: str) -> dict[str, Any]:
    """Their JSON Schema, with the definitions that it refers to under `$defs`."""
    return _facts().json_schema(mode="serialization", ref_template=ref_template)


def _told(trace: RunTrace) -> TraceFacts:
    answer = answer_of(TraceFound(trace.found.recognised, trace.accepted, ()))
    interval = answer.opening_interval
    return TraceFacts(
        number=trace.number,
        run=trace.run,
        step=trace.step_key,
        sha256=trace.sha256,
        bytes=trace.size_bytes,
        confirmed=_confirmed(trace, answer.recognised),
        rows=answer.rows,
        remarks=answer.remarks,
        openings=answer.openings,
        opening_mean_bar=answer.opening_mean_bar,
        opening_spread_bar=answer.opening_spread_bar,
        opening_standard_uncertainty_bar=answer.opening_standard_uncertainty_bar,
        opening_expanded_uncertainty_bar=None if interval is None else round((interval[1] - interval[0]) / 2, 4),
        opening_interval=interval,
        holds=answer.holds,
        rejected=tuple(
            RejectedEvent(named.kind.value, f"{named.at_s:.3f}", reason) for named, reason in trace.rejected
        ),
    )


def _confirmed(trace: RunTrace, facts: tuple[FactAnswer, ...]) -> ConfirmedReading:
    read = trace.found.recognised
    at: datetime = trace.confirmed_at.astimezone(UTC)
    return ConfirmedReading(
        by=trace.confirmed_by,
        at=at.isoformat(),
        pressure_unit=read.unit,
        bar_per_unit=read.bar_per_unit,
        time_base=read.time.base,
        seconds_per_unit=read.time.seconds if read.time.base is TimeBase.ELAPSED else None,
        rate_hz=read.time.rate_hz if read.time.base is TimeBase.RATE else None,
        facts=facts,
    )
