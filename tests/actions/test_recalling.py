"""An instrument failed or a batch is bad: which verdicts turn and which certificates rest on it."""

from datetime import date
from decimal import Decimal as D

import pytest

from service.actions.calibrations import record_calibration
from service.actions.decision_rules import put_rule_in_force
from service.actions.rebuilding import fit_part
from service.actions.recalling import (
    InstrumentRecall,
    RecallAsked,
    RecalledReading,
    look_at_batch_recall,
    look_at_instrument_recall,
)
from service.actions.recording import Form
from service.actions.rejudging import rejudge_overhaul
from service.actions.releasing import sign_release
from service.actions.shop import Forbidden, NotFound, Refused, Shop
from service.workshop.calibration import CalibratedPoint, FoundState
from service.workshop.decision_rule import RuleKind
from service.workshop.vocabulary import Stage
from tests.actions.at_the_bench import bring_to, examine, form, receive, strip
from tests.calibrating import calibrate
from tests.registered_fleet import PASSWORD, RIG, Clock, Fleet, check_the_rig
from tests.small_findings import sizes
from tests.small_sheet import CALIBRATED_ON


def recall(shop: Shop, fleet: Fleet, code: str = "MIC-1", error: str = "0", **asked: object) -> InstrumentRecall:
    return look_at_instrument_recall(shop, fleet.manager, code, RecallAsked(error=D(error), **asked))  # type: ignore[arg-type]


def measured(shop: Shop, fleet: Fleet, serial: str, width: str) -> str:
    """A received injector with the width of its seat measured by MIC-1."""
    (number,) = receive(shop, fleet, serial)
    strip(shop, fleet, number)
    examine(shop, fleet, number, "body-seat-width", sizes("MIC-1", width))
    return number


def serials(found: InstrumentRecall) -> list[str]:
    return [one.injector.serial for one in found.readings]


def reading(found: InstrumentRecall, title: str) -> RecalledReading:
    return next(one for one in found.readings if one.entry.title == title)


def test_only_readings_since_the_last_good_calibration_are_in_doubt(shop: Shop, fleet: Fleet, clock: Clock) -> None:
    measured(shop, fleet, "A-1", "1.19")
    clock.advance(days=10)
    calibrate(shop, fleet)
    clock.advance(days=1)
    measured(shop, fleet, "A-2", "1.19")
    clock.advance(days=10)
    failed = calibrate(shop, fleet, found=FoundState.OUT)
    assert failed.quarantined
    found = recall(shop, fleet, error="-0.02")
    assert serials(found) == ["A-2"]
    assert found.period.since == date(2026, 3, 12)
    assert found.readings[0].again.in_words == "Would change to: Does not conform"
    whole = recall(shop, fleet, error="-0.02", since=CALIBRATED_ON)
    assert sorted(serials(whole)) == ["A-1", "A-2"]


def test_a_reading_after_the_gauge_was_calibrated_again_is_sound(shop: Shop, fleet: Fleet, clock: Clock) -> None:
    measured(shop, fleet, "A-1", "1.19")
    clock.advance(days=1)
    calibrate(shop, fleet, found=FoundState.ADJUSTED)
    clock.advance(days=1)
    calibrate(shop, fleet)
    measured(shop, fleet, "A-2", "1.19")
    clock.advance(days=5)
    measured(shop, fleet, "A-3", "1.19")
    adjusted = recall(shop, fleet).history.calibrations[1]
    assert adjusted.calibration.found is FoundState.ADJUSTED
    assert serials(recall(shop, fleet, calibration_id=adjusted.id)) == ["A-1"]


def test_an_instrument_that_was_seen_to_fail_is_doubted_up_to_now(shop: Shop, fleet: Fleet) -> None:
    measured(shop, fleet, "A-1", "1.19")
    found = recall(shop, fleet)
    assert (found.failed, found.period.until, serials(found)) == (None, None, ["A-1"])


def test_released_certificates_stand_first_with_the_vessel_they_sail_on(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.PROVED)
    issued = sign_release(shop, fleet.manager, number, form(shop, number), password=PASSWORD)
    measured(shop, fleet, "A-0", "1.25")
    found = recall(shop, fleet, error="-0.2")
    first, last = found.readings[0], found.readings[-1]
    assert (first.injector.certificate, first.injector.vessel) == (issued.number, "Invented Star")
    assert (first.injector.stage, first.injector.shop_number) == ("released", "")
    assert first.again.changes
    assert (last.injector.serial, last.injector.certificate, last.again.changes) == ("A-0", "", False)


def test_the_steps_of_a_run_were_made_with_the_gauge_of_the_run(shop: Shop, fleet: Fleet) -> None:
    bring_to(shop, fleet, Stage.PROVED)
    found = recall(shop, fleet, "GAUGE-1", error="20")
    titles = {one.entry.title for one in found.readings}
    assert len(titles) == 7
    assert reading(found, "Opening pressure").again.in_words == "Would change to: Fail"
    assert not reading(found, "Emission").again.changes
    assert {one.entry.person for one in found.readings} == {fleet.technician.name}


def test_the_daily_checks_of_a_rig_rest_on_its_gauge_within_the_days_in_doubt(
    shop: Shop, fleet: Fleet, clock: Clock
) -> None:
    clock.advance(days=2)
    check_the_rig(shop, fleet.technician, end_bar="380")
    clock.advance(days=2)
    calibrate(shop, fleet, code="GAUGE-1", found=FoundState.OUT)
    found = recall(shop, fleet, "GAUGE-1")
    assert [(one.rig, one.at.day, one.check.good) for one in found.rig_checks] == [(RIG, 4, False), (RIG, 2, True)]
    assert [one.at.day for one in recall(shop, fleet, "GAUGE-1", since=date(2026, 3, 3)).rig_checks] == [4]
    assert recall(shop, fleet, "MIC-1").rig_checks == ()


def test_a_reading_that_was_taken_again_stands_no_more(shop: Shop, fleet: Fleet) -> None:
    number = measured(shop, fleet, "A-1", "1.19")
    examine(shop, fleet, number, "body-seat-width", sizes("MIC-1", "1.18"))
    assert [one.entry.stands for one in recall(shop, fleet).readings] == [True, False]


def test_a_reading_judged_again_counts_once_with_its_own_day_and_its_newest_verdict(
    shop: Shop, fleet: Fleet, clock: Clock
) -> None:
    # 1.1995 mm: inside 1.20 by less than U = 0.001, so not proven under the first rule and accepted by the simple one.
    number = measured(shop, fleet, "A-1", "1.1995")
    clock.advance(days=5)
    simple = RuleKind.SIMPLE_ACCEPTANCE
    put_rule_in_force(
        shop, fleet.manager, Form("rule-00001", 1), kind=simple, reason="Agreed with the fleets.", password=PASSWORD
    )
    rejudge_overhaul(shop, fleet.manager, number, form(shop, number), reason="The rule was changed.")
    (only,) = recall(shop, fleet).readings
    assert (only.entry.at.date(), only.entry.person) == (date(2026, 3, 2), fleet.technician.name)
    assert (only.again.before, only.again.after, only.entry.stands) == ("Conforms", "Conforms", True)
    assert recall(shop, fleet, since=date(2026, 3, 4)).readings == ()


def test_worn_pins_are_recalled_by_their_corrected_diameter(shop: Shop, fleet: Fleet) -> None:
    bring_to(shop, fleet, Stage.EXAMINED)
    found = recall(shop, fleet, "PINS-1", pins={D("0.85"): D("0.84")})
    (only,) = found.readings
    assert (only.again.before, only.again.after) == ("Conforms", "Not proven")
    with pytest.raises(Refused) as refused:
        recall(shop, fleet, "PINS-1", pins={D("0.85"): D("8.5")})
    assert refused.value.field == "pins"


def test_a_recall_changes_nothing(shop: Shop, fleet: Fleet) -> None:
    measured(shop, fleet, "A-1", "1.19")
    tables = ("entry", "journal", "overhaul", "certificate", "calibration")
    before = [shop.store.rows(f"SELECT count(*) FROM {table}") for table in tables]  # noqa: S608
    recall(shop, fleet, error="-0.02")
    assert [shop.store.rows(f"SELECT count(*) FROM {table}") for table in tables] == before  # noqa: S608


def test_errors_at_several_points_of_the_failed_certificate_are_read_in_a_straight_line(
    shop: Shop, fleet: Fleet, clock: Clock
) -> None:
    measured(shop, fleet, "A-1", "1.19")
    clock.advance(days=1)
    points = tuple(
        CalibratedPoint(nominal=D(nominal), error=D(error)) for nominal, error in (("0", "0"), ("25", "-0.5"))
    )
    calibrate(shop, fleet, found=FoundState.OUT, points=points)

    def asked(**given: object) -> InstrumentRecall:
        return look_at_instrument_recall(shop, fleet.manager, "MIC-1", RecallAsked(**given))  # type: ignore[arg-type]

    # At 1.19 mm the error is −0.5 · 1.19 / 25 = −0.0238 mm, so 1.214 mm against at most 1.20 mm.
    proposed = asked()
    assert proposed.correction.points == points
    assert proposed.readings[0].again.after == "Does not conform"
    assert "1.214 mm" in proposed.readings[0].again.reason
    assert asked(points=tuple(reversed(points))).readings[0].again == proposed.readings[0].again
    assert asked(error=D(0)).readings[0].again.after == "Conforms"
    for wrong, field in (({"points": points, "error": D(1)}, "error"), ({"points": points * 2}, "points")):
        with pytest.raises(Refused) as refused:
            asked(**wrong)
        assert refused.value.field == field


def test_only_a_manager_recalls(shop: Shop, fleet: Fleet) -> None:
    for actor in (fleet.technician, fleet.office):
        with pytest.raises(Forbidden):
            look_at_instrument_recall(shop, actor, "MIC-1", RecallAsked())
        with pytest.raises(Forbidden):
            look_at_batch_recall(shop, actor, "B-1")


def test_what_cannot_be_asked_is_refused_by_its_field(shop: Shop, fleet: Fleet) -> None:
    with pytest.raises(NotFound):
        recall(shop, fleet, "NONE-1")
    for asked, field in (
        ({"calibration_id": 99999}, "calibration"),
        ({"since": date(2031, 1, 1)}, "since"),
        ({"pins": {D("0.85"): D("0.85")}}, "pins"),
    ):
        with pytest.raises(Refused) as refused:
            recall(shop, fleet, **asked)  # type: ignore[arg-type]
        assert refused.value.field == field


def test_every_injector_with_a_part_of_the_batch_is_found_whatever_its_capitals(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.AGREED)
    fit_part(shop, fleet.technician, number, form(shop, number), item="seal-ring", batch="Übung  77-a")
    found = look_at_batch_recall(shop, fleet.manager, " übung 77-A ")
    assert [(one.injector.number, one.entry.title) for one in found] == [(number, "Fitted new: Sealing ring")]
    assert look_at_batch_recall(shop, fleet.manager, "Übung 77") == ()
    assert look_at_batch_recall(shop, fleet.manager, "%") == ()
    for nothing in ("", "  ", "x" * 201):
        with pytest.raises(Refused):
            look_at_batch_recall(shop, fleet.manager, nothing)


def test_the_diameters_of_the_failed_calibration_are_at_hand(shop: Shop, fleet: Fleet, clock: Clock) -> None:
    clock.advance(days=1)
    record_calibration(
        shop, fleet.manager, code="PINS-1", certificate="X", laboratory="L", calibrated_on=clock().date(),
        due=date(2027, 3, 3), expanded_uncertainty=D("0.001"), k=D(2), found=FoundState.OUT,
        points=[CalibratedPoint(nominal=D("0.85"), error=D("-0.004"))],
        version=2,
    )  # fmt: skip
    failed = recall(shop, fleet, "PINS-1").failed
    assert failed is not None
    assert failed.calibration.points[0].diameter == D("0.846")
