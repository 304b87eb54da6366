"""A trace without the events that a technician rejected: nobody adds one, and what is rejected counts for nothing."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import StrEnum

from service.hydraulics.trace.analysis import TraceAnalysis, statistics_of
from service.hydraulics.trace.holds import Hold
from service.hydraulics.trace.openings import Opening

_SAME_S = 0.05


class EventKind(StrEnum):
    """What is detected in a trace."""

    OPENING = "opening"
    HOLD = "hold"


@dataclass(frozen=True, slots=True)
class EventAt:
    """An event by its kind and a time in it, s: that of the opening, or one within the hold."""

    kind: EventKind
    at_s: Decimal

    def means(self, event: Opening | Hold) -> bool:
        """Whether that event is meant."""
        if isinstance(event, Opening):
            return self.kind is EventKind.OPENING and abs(event.t_s - float(self.at_s)) <= _SAME_S
        return self.kind is EventKind.HOLD and event.start_s <= float(self.at_s) <= event.end_s


def event_of(event: Opening | Hold) -> EventAt:
    """How an event is named."""
    if isinstance(event, Opening):
        return EventAt(EventKind.OPENING, _millisecond(event.t_s))
    return EventAt(EventKind.HOLD, _millisecond((event.start_s + event.end_s) / 2))


def _millisecond(at_s: float) -> Decimal:
    return Decimal(f"{at_s:.3f}")


def events_meant(analysis: TraceAnalysis, named: EventAt) -> tuple[Opening | Hold, ...]:
    """The detected events that are meant: none, or one."""
    events: tuple[Opening | Hold, ...] = (*analysis.openings, *analysis.holds)
    return tuple(one for one in events if named.means(one))


def without(analysis: TraceAnalysis, rejected: Iterable[EventAt]) -> TraceAnalysis:
    """The analysis with only the accepted events, mean and spread worked out again from them."""
    out = tuple(rejected)
    openings = tuple(one for one in analysis.openings if not any(named.means(one) for named in out))
    holds = tuple(one for one in analysis.holds if not any(named.means(one) for named in out))
    return replace(analysis, openings=openings, holds=holds, statistics=statistics_of(openings))
