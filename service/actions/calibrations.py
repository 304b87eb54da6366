"""Recording calibrations of instruments, and keeping their scanned certificates."""

import hashlib
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from sqlmodel import Session, col, func, select

from service.actions.instruments import calibrations_changed, locked_instrument
from service.actions.shop import Actor, NotFound, Refused, Shop, require
from service.metrology.typed_numbers import plain
from service.records.calibration_store import (
    calibration_of_instrument,
    calibrations_of,
    pins_of,
    points_text,
)
from service.records.journal import append_journal
from service.records.scanned_files import media_type_of
from service.records.tables import CalibrationRow, CalibrationScan, Instrument
from service.workshop.calibration import (
    CalibratedPoint,
    Calibration,
    FoundState,
    InstrumentState,
    asks_for_quarantine,
)
from service.workshop.vocabulary import InstrumentKind, Role

SCAN_LIMIT_BYTES = 10_000_000
"""Largest scanned certificate that is kept, one file."""
_MOST_SCANS = 20
_MOST_POINTS = 500
_FURTHEST_PIN = Decimal("0.05")
"""A pin further from its nominal (mm) than this is a slip of the pen, not a pin."""


@dataclass(frozen=True)
class CalibrationRecorded:
    """The new row, and whether the instrument went into quarantine by it."""

    id: int
    quarantined: bool


def record_calibration(
    shop: Shop,
    actor: Actor,
    *,
    code: str,
    certificate: str,
    calibrated_on: date,
    due: date,
    laboratory: str,
    expanded_uncertainty: Decimal,
    k: Decimal = Decimal(2),
    found: FoundState,
    points: Iterable[CalibratedPoint] = (),
    remark: str = "",
    version: int,
) -> CalibrationRecorded:
    """Append a calibration to the history of the instrument as the person saw it at `version`.

    Expanded uncertainty (coverage factor `k`) and points in the instrument's unit. Found out of limits by its newest
    calibration, the instrument goes into quarantine in the same transaction. Raises Refused, NotFound or Conflict.
    """
    require(actor, Role.MANAGER)
    calibration = Calibration(
        certificate=certificate.strip(),
        on=calibrated_on,
        due=due,
        laboratory=laboratory.strip(),
        expanded_uncertainty=expanded_uncertainty,
        k=k,
        found=found,
        points=tuple(points),
    )
    _check(calibration, shop.today)
    with shop.store.change() as session:
        instrument = locked_instrument(session, code, version)
        _check_points(session, instrument, calibration.points)
        row = _appended(session, shop, actor, instrument, calibration, remark)
        quarantined = instrument.state == InstrumentState.IN_USE.value and _shuts_away(session, row)
        because = f"Found out of limits by calibration {row.certificate} of {row.calibrated_on}"
        calibrations_changed(session, instrument, because if quarantined else "", at=shop.now(), person=actor.signature)
        return CalibrationRecorded(row.id or 0, quarantined)


def keep_scan(shop: Shop, actor: Actor, *, code: str, calibration_id: int, content: bytes) -> int:
    """Keep one scanned page or file of a calibration's certificate; gives its number. The same bytes are kept once.

    Raises NotFound, or Refused: too large, too many, or neither PDF, PNG nor JPEG.
    """
    require(actor, Role.MANAGER)
    media_type = _checked_scan(content)
    digest = hashlib.sha256(content).hexdigest()
    with shop.store.change() as session:
        calibration = calibration_of_instrument(session, code, calibration_id)
        if calibration is None:
            raise NotFound("no-calibration", "There is no such calibration.")
        mine = CalibrationScan.calibration_id == calibration_id
        again = session.exec(select(CalibrationScan.id).where(mine, CalibrationScan.sha256 == digest)).first()
        if again is not None:
            return again
        if session.exec(select(func.count(col(CalibrationScan.id))).where(mine)).one() >= _MOST_SCANS:
            raise Refused("scans-many", f"{_MOST_SCANS} files are kept with this calibration already.", "scan")
        scan = CalibrationScan(
            calibration_id=calibration_id,
            media_type=media_type,
            size=len(content),
            sha256=digest,
            content=content,
            recorded_at=shop.now(),
            person_id=actor.person_id,
            person_name=actor.name,
        )
        session.add(scan)
        session.flush()
        append_journal(
            session,
            at=shop.now(),
            person=actor.signature,
            action="calibration-scan",
            subject=("instrument", code),
            after={
                "certificate": calibration.certificate,
                "media_type": media_type,
                "size": scan.size,
                "sha256": digest,
            },
        )
        return scan.id or 0


def _check(calibration: Calibration, today: date) -> None:
    if not calibration.certificate:
        raise Refused("certificate", "Give the number of the calibration certificate.", "certificate")
    if not calibration.laboratory:
        raise Refused("laboratory", "Give the laboratory that calibrated it.", "laboratory")
    made = calibration.on or today
    if made > today:
        raise Refused("date-ahead", "The calibration lies ahead: record it once it is made.", "calibrated_on")
    if calibration.due <= made:
        raise Refused("due-early", "The next calibration is due after this one was made.", "due")
    uncertainty = calibration.expanded_uncertainty
    if not uncertainty.is_finite() or uncertainty < 0:
        raise Refused("uncertainty", "The expanded uncertainty is 0 or more.", "expanded_uncertainty")
    if not calibration.k.is_finite() or not 1 <= calibration.k <= 10:
        raise Refused("coverage-factor", "The coverage factor k lies between 1 and 10; most certificates say 2.", "k")
    if calibration.found is FoundState.NOT_STATED:
        raise Refused("found", "Say how it was found: within limits, out of limits, or adjusted.", "found")
    if len(calibration.points) > _MOST_POINTS:
        raise Refused("points", f"Give at most {_MOST_POINTS} points.", "points")
    nominals = [point.nominal for point in calibration.points]
    for point in calibration.points:
        if not point.nominal.is_finite() or not point.error.is_finite():
            raise Refused("points", "Each point is two numbers.", "points")
        if nominals.count(point.nominal) > 1:
            raise Refused("points", f"{plain(point.nominal)} stands twice among the points.", "points")


def _check_points(session: Session, instrument: Instrument, points: tuple[CalibratedPoint, ...]) -> None:
    if instrument.kind != InstrumentKind.PIN_SET.value:
        return
    pins = pins_of(session, instrument.id or 0)
    for point in points:
        if pins and point.nominal not in pins:
            sentence = f"{instrument.code} has no pin of {plain(point.nominal)} mm: correct it, or add the pin."
            raise Refused("points", sentence, "points")
        if abs(point.error) > _FURTHEST_PIN:
            sentence = f"Pin {plain(point.nominal)} mm cannot measure {plain(point.diameter)} mm: check the digits."
            raise Refused("points", sentence, "points")


def _appended(
    session: Session, shop: Shop, actor: Actor, instrument: Instrument, calibration: Calibration, remark: str
) -> CalibrationRow:
    row = CalibrationRow(
        instrument_id=instrument.id or 0,
        calibrated_on=calibration.on,
        due=calibration.due,
        certificate=calibration.certificate,
        laboratory=calibration.laboratory,
        expanded_uncertainty=plain(calibration.expanded_uncertainty),
        k=plain(calibration.k),
        found=calibration.found.value,
        points=points_text(calibration.points),
        remark=remark.strip(),
        recorded_at=shop.now(),
        person_id=actor.person_id,
        person_name=actor.name,
    )
    session.add(row)
    session.flush()
    append_journal(
        session,
        at=shop.now(),
        person=actor.signature,
        action="calibration",
        subject=("instrument", instrument.code),
        reason=row.remark,
        after=row.model_dump(mode="json", exclude={"instrument_id", "person_id", "person_name", "recorded_at"}),
    )
    return row


def _shuts_away(session: Session, row: CalibrationRow) -> bool:
    known = calibrations_of(session, row.instrument_id)
    return asks_for_quarantine(known[-1], known)


def _checked_scan(content: bytes) -> str:
    if not content:
        raise Refused("scan-missing", "Choose the scan of the certificate.", "scan")
    if len(content) > SCAN_LIMIT_BYTES:
        megabytes = SCAN_LIMIT_BYTES // 1_000_000
        raise Refused("scan-large", f"The scan is larger than {megabytes} MB: scan it coarser.", "scan")
    media_type = media_type_of(content)
    if media_type is None:
        raise Refused("scan-kind", "This is no whole PDF, PNG or JPEG file: scan the certificate again.", "scan")
    return media_type
