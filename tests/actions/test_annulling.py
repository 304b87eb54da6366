"""Annulling a calibration that was entered wrongly: what counts then, and what stays as it was."""

from datetime import date
from decimal import Decimal as D

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from service.actions.annulling import annul_calibration
from service.actions.instruments import release_instrument
from service.actions.recalling import RecallAsked, look_at_instrument_recall
from service.actions.shop import Conflict, Forbidden, NotFound, Refused, Shop
from service.records.examination_reads import instruments_for
from service.records.instrument_reads import due_list, instruments
from service.workshop.calibration import FoundState, InstrumentState
from service.workshop.entries import Examined
from service.workshop.instrument_fitness import InstrumentRefused
from service.workshop.vocabulary import InstrumentKind
from tests.actions.at_the_bench import examine, loaded, newest_journal_row, receive, strip
from tests.calibrating import calibrate, history
from tests.registered_fleet import Clock, Fleet
from tests.small_findings import sizes


def annul(shop: Shop, fleet: Fleet, number: int, code: str = "MIC-1", reason: str = "Of another gauge") -> bool:
    version = history(shop, code).row.version
    return annul_calibration(shop, fleet.manager, code=code, calibration_id=number, reason=reason, version=version)


def test_the_calibration_before_is_in_force_again_wherever_it_is_asked(shop: Shop, fleet: Fleet) -> None:
    wrong = calibrate(shop, fleet, certificate="WRONG", due=date(2026, 12, 1), expanded_uncertainty=D("0.009"))
    today = shop.now().date()
    assert not annul(shop, fleet, wrong.id, reason=" Of another gauge ")
    (line,) = (one for one in instruments(shop.store, today) if one.code == "MIC-1")
    (due,) = (one for one in due_list(shop.store, today) if one.code == "MIC-1")
    assert (line.certificate, due.due) == ("CAL-MIC-1", date(2027, 1, 31))
    (offered,) = instruments_for(shop.store, (InstrumentKind.MICROMETER,), "mm", today)
    assert offered.expanded_uncertainty == "0.001"
    (number,) = receive(shop, fleet, "A-1")
    strip(shop, fleet, number)
    examine(shop, fleet, number, "body-seat-width", sizes("MIC-1", "1.19"))
    stored = loaded(shop, number).record.entries[-1].content
    assert isinstance(stored, Examined)
    assert stored.measurement.instrument.calibration == "CAL-MIC-1"  # type: ignore[union-attr]


def test_it_stays_in_the_history_with_who_annulled_it_and_why(shop: Shop, fleet: Fleet) -> None:
    wrong = calibrate(shop, fleet, certificate="WRONG")
    annul(shop, fleet, wrong.id)
    newest, first = history(shop).calibrations
    assert (newest.calibration.certificate, newest.calibration.annulled, first.annulled) == ("WRONG", True, None)
    assert newest.annulled is not None
    assert (newest.annulled.by, newest.annulled.reason) == ("Mara Manager", "Of another gauge")
    journal = newest_journal_row(shop)
    assert (journal.action, journal.subject_id, journal.reason) == ("calibration-annulled", "MIC-1", "Of another gauge")
    assert '"certificate":"WRONG"' in journal.before
    assert history(shop).row.version == 4


def test_an_instrument_whose_only_calibration_was_annulled_measures_nothing(shop: Shop, fleet: Fleet) -> None:
    (only,) = history(shop).calibrations
    annul(shop, fleet, only.id)
    (number,) = receive(shop, fleet, "A-1")
    strip(shop, fleet, number)
    with pytest.raises(InstrumentRefused) as refused:
        examine(shop, fleet, number, "body-seat-width", sizes("MIC-1", "1.19"))
    assert refused.value.code == "no-calibration"


def test_a_verdict_given_with_it_stays_as_it_was_judged(shop: Shop, fleet: Fleet) -> None:
    wrong = calibrate(shop, fleet, certificate="WRONG", expanded_uncertainty=D("0.02"))
    (number,) = receive(shop, fleet, "A-1")
    strip(shop, fleet, number)
    examine(shop, fleet, number, "body-seat-width", sizes("MIC-1", "1.19"))
    before = loaded(shop, number).record.entries
    annul(shop, fleet, wrong.id)
    assert loaded(shop, number).record.entries == before


def test_a_finding_out_of_limits_that_comes_back_shuts_the_instrument_away(
    shop: Shop, fleet: Fleet, clock: Clock
) -> None:
    calibrate(shop, fleet, certificate="OUT", found=FoundState.OUT)
    clock.advance(days=2)
    repaired = calibrate(shop, fleet, certificate="REPAIRED")
    release_instrument(shop, fleet.manager, code="MIC-1", reason="Adjusted", version=history(shop).row.version)
    assert annul(shop, fleet, repaired.id)
    known = history(shop).known
    assert (known.state, "REPAIRED after it was annulled" in known.reason) == (InstrumentState.QUARANTINED, True)
    assert newest_journal_row(shop).action == "instrument-quarantined"


def test_annulling_a_wrong_finding_does_not_release_the_instrument_by_itself(shop: Shop, fleet: Fleet) -> None:
    wrong = calibrate(shop, fleet, found=FoundState.OUT)
    assert not annul(shop, fleet, wrong.id)
    assert history(shop).known.state is InstrumentState.QUARANTINED, "only a manager's own act releases it"


def test_a_recall_takes_an_annulled_calibration_neither_for_good_nor_for_failed(
    shop: Shop, fleet: Fleet, clock: Clock
) -> None:
    clock.advance(days=10)
    good = calibrate(shop, fleet)
    clock.advance(days=10)
    out = calibrate(shop, fleet, found=FoundState.OUT)
    clock.advance(days=10)
    after = calibrate(shop, fleet, certificate="AFTER")
    for number in (good.id, after.id):
        annul(shop, fleet, number)

    def asked(**given: int) -> tuple[date | None, date | None, int | None]:
        found = look_at_instrument_recall(shop, fleet.manager, "MIC-1", RecallAsked(error=D(0), **given))  # type: ignore[arg-type]
        return found.period.since, found.period.until, found.failed.id if found.failed else None

    assert asked() == (date(2026, 1, 31), None, out.id)
    annul(shop, fleet, out.id)
    assert asked()[2] is None
    with pytest.raises(Refused) as refused:
        asked(calibration_id=out.id)
    assert refused.value.field == "calibration"


def test_only_a_manager_annuls_and_once_with_a_reason_on_what_was_seen(shop: Shop, fleet: Fleet) -> None:
    wrong = calibrate(shop, fleet)
    given = {"code": "MIC-1", "calibration_id": wrong.id, "reason": "Wrong", "version": history(shop).row.version}
    with pytest.raises(Forbidden):
        annul_calibration(shop, fleet.technician, **given)  # type: ignore[arg-type]
    for reason in ("  ", "x" * 1001):
        with pytest.raises(Refused) as refused:
            annul_calibration(shop, fleet.manager, **{**given, "reason": reason})  # type: ignore[arg-type]
        assert refused.value.field == "reason"
    with pytest.raises(Conflict):
        annul_calibration(shop, fleet.manager, **{**given, "version": 1})  # type: ignore[arg-type]
    with pytest.raises(NotFound):
        annul_calibration(shop, fleet.manager, **{**given, "code": "BORE-1", "version": 2})  # type: ignore[arg-type]
    annul(shop, fleet, wrong.id)
    with pytest.raises(Refused) as refused:
        annul(shop, fleet, wrong.id)
    assert refused.value.code == "annulled"


def test_an_annulment_is_never_taken_back_by_a_change_of_its_row(shop: Shop, fleet: Fleet) -> None:
    annul(shop, fleet, calibrate(shop, fleet).id)
    for statement in ("UPDATE calibration_annulment SET reason = 'X'", "DELETE FROM calibration_annulment"):
        with pytest.raises(DBAPIError, match="never changed"), shop.store.change() as session:
            session.execute(text(statement))
