"""As-found against as-left opening pressure over the overhauls of one injector, and what to expect next time."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from markupsafe import Markup

from service.hydraulics.disc_search import PressureBand
from service.hydraulics.expected_opening import ExpectedOpening
from service.metrology.typed_numbers import grouped, plain
from service.pages.drift_drawing import DriftAhead, DriftMark, drift_drawing
from service.pages.drift_words import coming_words, signed, too_few_words
from service.records.opening_reads import opening_visits, sheet_in_force
from service.records.store import Store
from service.records.unit_reads import UnitRow
from service.workshop.opening_history import OpeningVisit, times_in_service
from service.workshop.opening_outlook import band_of, coming_drift, expected_at_next


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
    sheet = sheet_in_force(store, unit.type_code)
    numbers = {passage.overhaul_id: passage.number for passage in unit.passages}
    coming, expected = coming_drift(visits, sheet), expected_at_next(visits, sheet)
    words = coming_words(coming, expected) if coming else too_few_words(len(times_in_service(visits)))
    drawing = _drawn(visits, expected, band_of(sheet) if sheet else None, words)
    return DriftTold(words, drawing, tuple(reversed(_lines(visits, numbers))))


def _drawn(
    visits: Sequence[OpeningVisit], expected: ExpectedOpening | None, band: PressureBand | None, described: str
) -> Markup | str:
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
    if expected is not None and measured:
        due = measured[-1].hours + expected.change.hours
        ahead = DriftAhead(due, expected.as_left_bar, expected.bar, expected.lower_bar, expected.upper_bar)
    # Every mark comes from `service.documents.drawing`, which escapes what it writes.
    return Markup(drift_drawing(measured, ahead, band, described))


def _lines(visits: Sequence[OpeningVisit], numbers: dict[int, str]) -> list[DriftLine]:
    lines = []
    before: OpeningVisit | None = None
    for visit in visits:
        change = "not known"
        if before is not None and before.as_left_bar is not None and visit.as_found_bar is not None:
            change = f"{signed(float(visit.as_found_bar - before.as_left_bar))} bar"
        lines.append(
            DriftLine(
                overhaul=numbers[visit.overhaul_id],
                hours="not known" if visit.hours is None else f"{grouped(visit.hours)} h",
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
