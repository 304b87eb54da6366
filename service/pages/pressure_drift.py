"""As-found against as-left opening pressure over the overhauls of one injector, and what to expect next time."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from markupsafe import Markup

from service.hydraulics.pressure_drift import LEAST_PERIODS, DriftForecast
from service.metrology.typed_numbers import plain
from service.pages.drift_drawing import DriftAhead, DriftMark, drift_drawing
from service.records.opening_reads import opening_visits
from service.records.store import Store
from service.records.unit_reads import UnitRow
from service.workshop.opening_history import InService, OpeningVisit, expected_drift, times_in_service


@dataclass(frozen=True, slots=True)
class DriftLine:
    """One overhaul; `change` is what the hours in service before it did to the pressure."""

    overhaul: str
    hours: str
    as_found: str
    change: str
    as_left: str


@dataclass(frozen=True, slots=True)
class DriftTold:
    """The whole section; `drawing` '' where there is too little to draw."""

    expected: str
    drawing: Markup | str
    lines: tuple[DriftLine, ...]


def drift_told(store: Store, unit: UnitRow) -> DriftTold | None:
    """The section for a unit with more than one overhaul, None where no opening pressure was measured in them."""
    visits = opening_visits(store, unit.passages)
    if not any(visit.as_found_bar is not None or visit.as_left_bar is not None for visit in visits):
        return None
    numbers = {passage.overhaul_id: passage.number for passage in unit.passages}
    periods, forecast = times_in_service(visits), expected_drift(visits)
    expected = _expected(visits, periods, forecast)
    return DriftTold(expected, _drawn(visits, forecast, expected), tuple(reversed(_lines(visits, numbers))))


def _expected(visits: Sequence[OpeningVisit], periods: Sequence[InService], forecast: DriftForecast | None) -> str:
    if forecast is None:
        return (
            f"{len(periods)} of at least {LEAST_PERIODS} times in service are known with hours, as-left and as-found "
            "pressure: too few for a line and what to expect next."
        )
    rate = f"{_signed(forecast.bar_per_1000_h)} bar in 1000 h, by a line through {forecast.periods} times in service"
    hours = f"{forecast.hours:,.0f} h"
    left = visits[-1].as_left_bar
    if left is None:
        span = f"{_signed(forecast.lower_bar)} to {_signed(forecast.upper_bar)} bar"
        return f"{rate}. Over the usual {hours} a change of {span} is expected (95 %), once it is set again."
    ends = " to ".join(f"{float(left) + end:.0f}" for end in (forecast.lower_bar, forecast.upper_bar))
    return (
        f"{rate}. At the next overhaul after the usual {hours} it is expected to open at "
        f"{float(left) + forecast.change_bar:.0f} bar, with 95 % between {ends} bar."
    )


def _drawn(visits: Sequence[OpeningVisit], forecast: DriftForecast | None, described: str) -> Markup | str:
    marks: list[DriftMark] = []
    run = 0
    for visit in visits:
        if not visit.hours:
            marks, run = [], 0  # across hours that are not known nothing can be drawn to scale
            if visit.as_left_bar is not None:
                marks.append(DriftMark(0, None, float(visit.as_left_bar)))
            continue
        run += visit.hours
        marks.append(DriftMark(run, _float(visit.as_found_bar), _float(visit.as_left_bar)))
    if all(mark.as_found_bar is None for mark in marks):
        return ""  # nothing to hold against what was left
    measured = [mark for mark in marks if mark.as_found_bar is not None or mark.as_left_bar is not None]
    ahead = None
    if forecast is not None and measured and (left := measured[-1].as_left_bar) is not None:
        ends = [left + end for end in (forecast.change_bar, forecast.lower_bar, forecast.upper_bar)]
        ahead = DriftAhead(measured[-1].hours + forecast.hours, *ends)
    # Every mark comes from `service.documents.drawing`, which escapes what it writes.
    return Markup(drift_drawing(measured, ahead, described))


def _lines(visits: Sequence[OpeningVisit], numbers: dict[int, str]) -> list[DriftLine]:
    lines = []
    before: OpeningVisit | None = None
    for visit in visits:
        change = "not known"
        if before is not None and before.as_left_bar is not None and visit.as_found_bar is not None:
            change = f"{_signed(float(visit.as_found_bar - before.as_left_bar))} bar"
        lines.append(
            DriftLine(
                overhaul=numbers[visit.overhaul_id],
                hours="not known" if visit.hours is None else f"{visit.hours:,} h",
                as_found=_bar(visit.as_found_bar, "not tested"),
                change=change,
                as_left=_bar(visit.as_left_bar, "not measured"),
            )
        )
        before = visit
    return lines


def _bar(bar: Decimal | None, otherwise: str) -> str:
    return otherwise if bar is None else f"{plain(round(bar, 1))} bar"


def _float(bar: Decimal | None) -> float | None:
    return None if bar is None else float(bar)


def _signed(value: float) -> str:
    return f"{value:+.1f}".replace("-", "−")
