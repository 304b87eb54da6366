"""Recording calibrations and keeping their scans, and what that does to the instrument and its readings."""

import hashlib
from datetime import date
from decimal import Decimal as D
from typing import Any

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from service.actions.calibrations import SCAN_LIMIT_BYTES, keep_scan
from service.actions.instruments import release_instrument, save_instrument
from service.actions.looking import look_at_scan
from service.actions.shop import Conflict, Forbidden, NotFound, Refused, Shop
from service.records.examination_reads import instruments_for
from service.records.instrument_reads import due_list
from service.workshop.calibration import CalibratedPoint, FoundState, InstrumentState
from service.workshop.entries import Examined
from service.workshop.measurements import PinMeasurement
from service.workshop.vocabulary import InstrumentKind, Stage
from tests.actions.at_the_bench import bring_to, examine, loaded, newest_journal_row
from tests.calibrating import calibrate, history
from tests.registered_fleet import Clock, Fleet
from tests.small_findings import SOUND

PDF = b"%PDF-1.7\n1 0 obj<<>>endobj\ntrailer<<>>\n%%EOF\n"
PNG = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR" + bytes(17) + b"\0\0\0\0IEND\xaeB`\x82"
JPEG = b"\xff\xd8\xff\xe0" + bytes(40) + b"\xff\xd9"


def points(*pairs: tuple[str, str]) -> tuple[CalibratedPoint, ...]:
    """Nominals with their errors."""
    return tuple(CalibratedPoint(nominal=D(nominal), error=D(error)) for nominal, error in pairs)


def test_a_calibration_is_appended_with_its_points_and_its_journal(shop: Shop, fleet: Fleet) -> None:
    made = calibrate(shop, fleet, certificate=" CAL-9 ", k=D("2.1"), points=points(("10", "0.0010"), ("5", "-0.001")))
    assert not made.quarantined
    newest, first = history(shop).calibrations
    assert (newest.calibration.certificate, first.calibration.certificate) == ("CAL-9", "CAL-MIC-1")
    assert newest.calibration.points == points(("5", "-0.001"), ("10", "0.001"))
    assert (newest.calibration.k, newest.recorded_by) == (D("2.1"), "Mara Manager")
    journal = newest_journal_row(shop)
    assert (journal.action, journal.subject_id) == ("calibration", "MIC-1")
    assert history(shop).row.version == 3


@pytest.mark.parametrize(
    ("changes", "field_name"),
    [
        ({"certificate": " "}, "certificate"),
        ({"laboratory": ""}, "laboratory"),
        ({"calibrated_on": date(2026, 3, 3)}, "calibrated_on"),
        ({"due": date(2026, 3, 2)}, "due"),
        ({"expanded_uncertainty": D(-1)}, "expanded_uncertainty"),
        ({"expanded_uncertainty": D("NaN")}, "expanded_uncertainty"),
        ({"k": D(0)}, "k"),
        ({"k": D("Infinity")}, "k"),
        ({"found": FoundState.NOT_STATED}, "found"),
        ({"points": points(("1", "0"), ("1.0", "0.1"))}, "points"),
        ({"points": points(("NaN", "0"))}, "points"),
    ],
)
def test_a_certificate_with_something_wrong_is_refused_and_nothing_stored(
    shop: Shop, fleet: Fleet, changes: dict[str, Any], field_name: str
) -> None:
    with pytest.raises(Refused) as refusal:
        calibrate(shop, fleet, **changes)
    assert refusal.value.field == field_name
    assert len(history(shop).calibrations) == 1


def test_the_same_certificate_sent_twice_is_recorded_once(shop: Shop, fleet: Fleet) -> None:
    calibrate(shop, fleet, certificate="CAL-9", version=2)
    with pytest.raises(Conflict) as conflict:
        calibrate(shop, fleet, certificate="CAL-9", version=2)
    assert "last calibration CAL-9" in conflict.value.changes[0]
    with pytest.raises(Forbidden):
        calibrate(shop, fleet, actor=fleet.technician)


def test_found_out_of_limits_it_goes_into_quarantine_until_a_manager_releases_it(shop: Shop, fleet: Fleet) -> None:
    made = calibrate(shop, fleet, certificate="CAL-9", found=FoundState.OUT)
    assert made.quarantined
    known = history(shop).known
    assert (known.state, known.reason) == (
        InstrumentState.QUARANTINED,
        "Found out of limits by calibration CAL-9 of 2026-03-02",
    )
    assert newest_journal_row(shop).action == "instrument-quarantined"
    calibrate(shop, fleet)
    assert history(shop).known.state is InstrumentState.QUARANTINED, "a new certificate alone releases nothing"
    release_instrument(shop, fleet.manager, code="MIC-1", reason="Adjusted", version=history(shop).row.version)
    assert history(shop).known.state is InstrumentState.IN_USE


def test_an_old_finding_entered_late_leaves_the_instrument_in_use(shop: Shop, fleet: Fleet) -> None:
    past = {"calibrated_on": date(2025, 1, 31), "due": date(2026, 1, 31)}
    assert not calibrate(shop, fleet, found=FoundState.OUT, **past).quarantined
    assert history(shop).known.state is InstrumentState.IN_USE
    assert history(shop).calibrations[0].calibration.certificate == "CAL-MIC-1"


def test_the_lists_know_the_calibration_in_force_on_the_day_and_no_other(
    shop: Shop, fleet: Fleet, clock: Clock
) -> None:
    clock.advance(days=10)
    calibrate(shop, fleet, due=date(2026, 12, 1))
    kinds = (InstrumentKind.MICROMETER,)
    before, after = date(2026, 3, 11), date(2026, 3, 12)
    assert [one.due for one in instruments_for(shop.store, kinds, "mm", before)] == [date(2027, 1, 31)]
    assert [one.due for one in instruments_for(shop.store, kinds, "mm", after)] == [date(2026, 12, 1)]
    assert instruments_for(shop.store, kinds, "mm", date(2026, 1, 30)) == ()
    assert due_list(shop.store, after)[0].code == "MIC-1"


def test_a_pin_reading_keeps_the_diameters_of_the_pins_that_were_tried(shop: Shop, fleet: Fleet) -> None:
    sizes = (D("0.84"), D("0.85"), D("0.88"), D("0.90"))
    save_instrument(shop, fleet.manager, code="PINS-1", kind=InstrumentKind.PIN_SET, unit="mm", pins=sizes, version=2)
    tried = points(("0.84", "0.0003"), ("0.85", "-0.0002"), ("0.88", "0.0001"))
    calibrate(shop, fleet, "PINS-1", points=tried)
    number = bring_to(shop, fleet, Stage.STRIPPED)
    examine(shop, fleet, number, "nozzle-holes", SOUND["nozzle-holes"])
    stored = loaded(shop, number).record.entries[-1].content
    assert isinstance(stored, Examined)
    assert isinstance(stored.measurement, PinMeasurement)
    assert [pin.diameter for pin in stored.measurement.calibrated] == [D("0.8498"), D("0.8801")]


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"points": points(("0.99", "0"))}, "has no pin of 0.99 mm"),
        ({"points": points(("0.85", "0.85"))}, "cannot measure 1.7 mm"),
    ],
)
def test_a_pin_that_is_not_in_the_set_or_cannot_be_is_refused(
    shop: Shop, fleet: Fleet, changes: dict[str, Any], said: str
) -> None:
    save_instrument(
        shop, fleet.manager, code="PINS-1", kind=InstrumentKind.PIN_SET, unit="mm", pins=(D("0.85"),), version=2
    )
    with pytest.raises(Refused) as refusal:
        calibrate(shop, fleet, "PINS-1", **changes)
    assert said in refusal.value.sentence


@pytest.mark.parametrize(
    ("content", "media_type"), [(PDF, "application/pdf"), (PNG, "image/png"), (JPEG, "image/jpeg")]
)
def test_a_scan_comes_back_byte_for_byte_to_who_works_at_the_bench(
    shop: Shop, fleet: Fleet, content: bytes, media_type: str
) -> None:
    made = calibrate(shop, fleet, certificate="CAL/9")
    number = keep_scan(shop, fleet.manager, code="MIC-1", calibration_id=made.id, content=content)
    assert keep_scan(shop, fleet.manager, code="MIC-1", calibration_id=made.id, content=content) == number
    found = look_at_scan(shop, fleet.technician, "MIC-1", made.id, number)
    assert found == (f"MIC-1-CAL/9-{number}", media_type, content)
    (scan,) = history(shop).calibrations[0].scans
    assert scan.sha256 == hashlib.sha256(content).hexdigest()
    assert newest_journal_row(shop).action == "calibration-scan"
    with pytest.raises(Forbidden):
        look_at_scan(shop, fleet.office, "MIC-1", made.id, number)
    with pytest.raises(NotFound):
        look_at_scan(shop, fleet.manager, "BORE-1", made.id, number)


@pytest.mark.parametrize(
    ("content", "code"),
    [
        (b"", "scan-missing"),
        (b"MZ not a picture", "scan-kind"),
        (PDF[:20], "scan-kind"),
        (PNG[:-12], "scan-kind"),
        (JPEG[:-2], "scan-kind"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "scan-kind"),
        (PDF + bytes(SCAN_LIMIT_BYTES), "scan-large"),
    ],
)
def test_what_is_no_whole_scan_is_kept_nowhere(shop: Shop, fleet: Fleet, content: bytes, code: str) -> None:
    made = calibrate(shop, fleet)
    with pytest.raises(Refused) as refusal:
        keep_scan(shop, fleet.manager, code="MIC-1", calibration_id=made.id, content=content)
    assert (refusal.value.code, refusal.value.field) == (code, "scan")
    assert history(shop).calibrations[0].scans == ()


@pytest.mark.parametrize("table", ["calibration", "calibration_scan"])
def test_no_calibration_and_no_scan_is_ever_changed_or_deleted(shop: Shop, fleet: Fleet, table: str) -> None:
    made = calibrate(shop, fleet)
    keep_scan(shop, fleet.manager, code="MIC-1", calibration_id=made.id, content=PDF)
    for statement in (f"UPDATE {table} SET person_name = 'X'", f"DELETE FROM {table}"):  # noqa: S608
        with pytest.raises(DBAPIError, match="never changed"), shop.store.change() as session:
            session.execute(text(statement))
