"""Recall: what was measured with an instrument that failed, or fitted from a bad batch. It changes no verdict."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import pairwise
from typing import NamedTuple

from sqlmodel import Session, col, select

from service.actions.shop import Actor, NotFound, Refused, Shop, require
from service.metrology.typed_numbers import plain
from service.records.decision_rules import rule_in_force
from service.records.instrument_reads import CalibrationLine, InstrumentHistory, instrument_history
from service.records.json_text import content_from_json
from service.records.recall_reads import (
    RecalledEntry,
    RecalledInjector,
    entries_made_with,
    fitted_from_batch,
    injectors_fitted_from,
    injectors_measured_with,
)
from service.records.recalled_rig_checks import RecalledRigCheck, rig_checks_made_with
from service.records.sheet_file import stored_sheet
from service.records.tables import SheetRevision
from service.workshop.calibration import CalibratedPoint, FoundState
from service.workshop.correction import Correction
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import BenchRunStarted
from service.workshop.limit_sheet import LimitSheet
from service.workshop.measurements import InstrumentUse
from service.workshop.narration import instruments_of
from service.workshop.recall import CorrectedVerdict, judge_corrected
from service.workshop.recalled_pins import changed_pins, largest_error
from service.workshop.suspect_period import SuspectPeriod, suspect_period
from service.workshop.vocabulary import InstrumentKind, Role

_FARTHEST_MM = Decimal("0.5")
_MOST_POINTS = 500


@dataclass(frozen=True, kw_only=True)
class RecallAsked:
    """What the manager asks: None is the newest calibration found out of limits, and the last good one before it.

    `error` = indicated − true in the instrument's unit, the same everywhere, or one error at each of several `points`;
    both None for what the failed calibration's certificate lists. `pins` are corrected diameters (mm) by nominal size,
    None for those that the certificate shows to have changed.
    """

    calibration_id: int | None = None
    since: date | None = None
    error: Decimal | None = None
    points: tuple[CalibratedPoint, ...] | None = None
    pins: Mapping[Decimal, Decimal] | None = None


class RecalledReading(NamedTuple):  # as many as there are entries: see there
    """A reading with its injector and what the corrected error makes of it."""

    injector: RecalledInjector
    entry: RecalledEntry
    again: CorrectedVerdict


@dataclass(frozen=True)
class InstrumentRecall:
    """Every reading in doubt: those under a certificate first, and of them those whose verdict would change."""

    history: InstrumentHistory
    failed: CalibrationLine | None
    period: SuspectPeriod
    correction: Correction
    readings: tuple[RecalledReading, ...]
    rig_checks: tuple[RecalledRigCheck, ...]
    """Daily checks of test rigs made with it, newest first; they are listed and not judged again."""


@dataclass(frozen=True)
class RecalledFitting:
    """A part fitted from the batch, with its injector."""

    injector: RecalledInjector
    entry: RecalledEntry


def look_at_instrument_recall(shop: Shop, actor: Actor, code: str, asked: RecallAsked) -> InstrumentRecall:
    """Everything made with the instrument in the period in doubt, each verdict judged again with the correction.

    Raises NotFound for an unknown instrument, Refused on the field `calibration`, `since`, `error`, `points` or `pins`.
    """
    require(actor, Role.MANAGER)
    with shop.store.reading() as session:
        history = instrument_history(session, code)
        if history is None:
            raise NotFound("no-instrument", "There is no such instrument.")
        sheets = _Sheets(session)
        failed = _failed(history, asked.calibration_id)
        period = _period(shop, history, failed, asked.since)
        correction = _correction(history, period, asked)
        instrument_id = history.row.id or 0
        entries = entries_made_with(shop.store, instrument_id, period.since, period.until)
        injectors = injectors_measured_with(shop.store, instrument_id)
        judge = _Judge(sheets, correction, rule_in_force(session), period)
        readings = [
            RecalledReading(injectors[entry.overhaul_id], entry, again)
            for entry in entries
            if (again := judge.again(injectors[entry.overhaul_id].sheet_id, entry)) is not None
        ]
        rig_checks = rig_checks_made_with(session, history.row.code, period.since, period.until)
    pressing = tuple(sorted(readings, key=_most_pressing))
    return InstrumentRecall(history, failed, period, correction, pressing, rig_checks)


def look_at_batch_recall(shop: Shop, actor: Actor, batch: str) -> tuple[RecalledFitting, ...]:
    """Every part fitted with exactly that batch or serial, those under a certificate first. Raises Refused."""
    require(actor, Role.MANAGER)
    if not batch.strip() or len(batch) > 200:
        raise Refused("batch", "Enter the batch or serial as it was recorded, up to 200 characters.", "batch")
    injectors = injectors_fitted_from(shop.store, batch)
    found = [RecalledFitting(injectors[one.overhaul_id], one) for one in fitted_from_batch(shop.store, batch)]
    return tuple(sorted(found, key=lambda one: (not one.injector.certificate, one.injector.serial, one.entry.seq)))


def _most_pressing(one: RecalledReading) -> tuple[bool, bool, bool, bool, str, int]:
    again, entry = one.again, one.entry
    return (
        not one.injector.certificate,
        not again.changes,
        not again.open,
        not entry.stands,
        one.injector.serial,
        entry.seq,
    )


def _failed(history: InstrumentHistory, calibration_id: int | None) -> CalibrationLine | None:
    lines = history.calibrations
    if calibration_id is None:
        out = (line for line in lines if line.calibration.found is FoundState.OUT and not line.annulled)
        return next(out, None)
    for line in lines:
        if line.id == calibration_id and not line.annulled:
            return line
    raise Refused("calibration", "Choose one of this instrument's calibrations that still counts.", "calibration")


def _period(
    shop: Shop, history: InstrumentHistory, failed: CalibrationLine | None, since: date | None
) -> SuspectPeriod:
    recorded = sorted(history.calibrations, key=lambda line: line.id)
    all_of_them = [line.calibration for line in recorded]
    period = suspect_period(all_of_them, None if failed is None else failed.calibration, since)
    if since is not None and since > (period.until or shop.today):
        raise Refused("since", "Choose a day before the instrument failed.", "since")
    return period


def _correction(history: InstrumentHistory, period: SuspectPeriod, asked: RecallAsked) -> Correction:
    failed = period.failed
    if history.known.kind is InstrumentKind.PIN_SET:
        proposed = changed_pins(period.good, failed) if failed else {}
        return Correction(pins=_pins(history, proposed if asked.pins is None else asked.pins))
    _pins(history, asked.pins or {})
    if asked.points:
        if asked.error:
            raise Refused("error-twice", "Give either one error for the whole range or errors at points.", "error")
        return Correction(points=_points(asked.points))
    if asked.error is not None or failed is None:
        return Correction(error=asked.error or Decimal(0))
    # A certificate's single point speaks for the whole range; several show how the error runs.
    several = len(failed.points) > 1
    return Correction(points=_points(failed.points)) if several else Correction(error=largest_error(failed))


def _points(points: tuple[CalibratedPoint, ...]) -> tuple[CalibratedPoint, ...]:
    ordered = tuple(sorted(points, key=lambda one: one.nominal))
    for before, after in pairwise(ordered):
        if before.nominal == after.nominal:
            raise Refused("points", f"{plain(after.nominal)} stands twice among the points.", "points")
    if len(ordered) > _MOST_POINTS:
        raise Refused("points", f"Give at most {_MOST_POINTS} points.", "points")
    return ordered


def _pins(history: InstrumentHistory, pins: Mapping[Decimal, Decimal]) -> Mapping[Decimal, Decimal]:
    for nominal, diameter in pins.items():
        if history.known.kind is not InstrumentKind.PIN_SET or (history.pins and nominal not in history.pins):
            raise Refused("pins", f"{history.row.code} has no pin of {plain(nominal)} mm.", "pins")
        if abs(diameter - nominal) > _FARTHEST_MM:
            sentence = f"{plain(diameter)} mm is far from the {plain(nominal)} mm marked on the pin: check the digits."
            raise Refused("pins", sentence, "pins")
    return pins


class _Sheets:
    """Limit sheets by their row, each read once."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._read: dict[int, LimitSheet] = {}

    def of(self, sheet_id: int) -> LimitSheet:
        if sheet_id not in self._read:
            content = self._session.exec(select(SheetRevision.content).where(col(SheetRevision.id) == sheet_id)).one()
            self._read[sheet_id] = stored_sheet(content)
        return self._read[sheet_id]


class _Judge:
    """Judges entries again, the same content once: a shop takes the same readings over and over."""

    def __init__(self, sheets: _Sheets, correction: Correction, rule: DecisionRule, period: SuspectPeriod) -> None:
        self._sheets, self._correction, self._rule, self._period = sheets, correction, rule, period
        self._done: dict[tuple[int, str, str], CorrectedVerdict | None] = {}

    def again(self, sheet_id: int, entry: RecalledEntry) -> CorrectedVerdict | None:
        """None for a reading that was taken after the instrument had been calibrated again."""
        key = (sheet_id, entry.payload, entry.gauge_payload)
        if key not in self._done:
            content = content_from_json(entry.payload)
            run = content_from_json(entry.gauge_payload) if entry.gauge_payload else None
            gauge = run.gauge if isinstance(run, BenchRunStarted) else None
            cleared = self._cleared((gauge,) if gauge else instruments_of(content))
            self._done[key] = (
                None
                if cleared
                else judge_corrected(content, self._sheets.of(sheet_id), self._correction, self._rule, gauge)
            )
        return self._done[key]

    def _cleared(self, uses: Iterable[InstrumentUse]) -> bool:
        return any(self._period.clears(use) for use in uses)
