"""Looking at an overhaul or a scanned certificate without changing it, within what the person may see."""

import hashlib

from service.actions.recording import load_in_scope
from service.actions.shop import BENCH, Actor, NotFound, Refused, Shop, require
from service.records.calibration_store import calibration_of_instrument, scan_of_calibration
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.entries import BenchRunStarted
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.proving import BenchRun, bench_run
from service.workshop.test_plan import AnyStep


def look_at_overhaul(shop: Shop, actor: Actor, number: str) -> LoadedOverhaul:
    """The overhaul with everything around it. Raises NotFound, for another fleet's as for an unknown one."""
    with shop.store.reading() as session:
        return load_in_scope(session, actor, number)


def run_and_step(record: OverhaulRecord, run: int, step: str) -> tuple[BenchRun, AnyStep]:
    """That step of that run. Raises NotFound."""
    found = record.sheet.test_plan.step_by_key.get(step)
    if found is None or run not in {seq for seq, _ in record.all_of(BenchRunStarted)}:
        raise NotFound("no-step", "There is no such step or run.")
    return bench_run(record, run), found


def look_at_scan(shop: Shop, actor: Actor, code: str, calibration_id: int, scan_id: int) -> tuple[str, str, bytes]:
    """A scanned calibration certificate: a name for its file, its media type and its bytes, still as they were sent.

    Raises NotFound, or Refused where the bytes are no longer those that were kept.
    """
    require(actor, *BENCH)
    with shop.store.reading() as session:
        calibration = calibration_of_instrument(session, code, calibration_id)
        scan = None if calibration is None else scan_of_calibration(session, calibration_id, scan_id)
    if calibration is None or scan is None:
        raise NotFound("no-scan", "There is no such scan.")
    if hashlib.sha256(scan.content).hexdigest() != scan.sha256:
        raise Refused("scan-damaged", "The stored scan is damaged: restore it from the backup.")
    return f"{code}-{calibration.certificate}-{scan_id}", scan.media_type, scan.content
