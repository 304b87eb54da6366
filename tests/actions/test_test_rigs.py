"""Test rigs: the card, the oil, the daily check, and what a run without a good check is worth."""

from dataclasses import replace
from datetime import UTC, date, datetime
from decimal import Decimal
from zoneinfo import ZoneInfo

import pytest

from service.actions.bench_testing import record_bench_step, start_bench_run
from service.actions.instruments import quarantine_instrument
from service.actions.recording import Form, Recorded
from service.actions.rig_duties import fill_test_oil, record_rig_check
from service.actions.shop import Conflict, Forbidden, NotFound, Refused, Shop
from service.actions.test_rigs import RigCard, save_test_rig
from service.metrology.errors import DomainError
from service.records.rig_reads import KnownRig, known_rigs, past_checks, rig_row
from service.workshop.entries import BenchRunStarted
from service.workshop.instrument_fitness import InstrumentRefused
from service.workshop.proving import proving_run
from service.workshop.release_gate import release_blockers
from service.workshop.test_rig import BlankedLine, ClampSprings
from service.workshop.vocabulary import RunPurpose, Stage
from tests.actions.at_the_bench import bring_to, form, key, loaded, prove
from tests.registered_fleet import RIG, Clock, Fleet, check_the_rig
from tests.small_findings import PASSING

D = Decimal


def card(**instead: object) -> RigCard:
    stated: dict[str, object] = {
        "code": "rig-2",
        "description": "Invented second rig",
        "unit": "kgf/cm²",
        "gauges": ("GAUGE-1",),
        "line": BlankedLine(pressure_bar=D(300), hold_s=30, drop_max_bar=D(5)),
        "springs": ClampSprings(count=2, lower_n=D(900), upper_n=D(1100)),
        "oil_days": 90,
        "volume_cm3": D(40),
    }
    return RigCard(**(stated | instead))  # type: ignore[arg-type]


def rigs(shop: Shop) -> dict[str, KnownRig]:
    with shop.store.reading() as session:
        return {known.rig.code: known for known in known_rigs(session, shop.now().date())}


def test_a_manager_registers_a_rig_and_corrects_what_he_saw(shop: Shop, fleet: Fleet) -> None:
    assert save_test_rig(shop, fleet.manager, card()) == "RIG-2"
    save_test_rig(shop, fleet.manager, card(unit="psi", springs=None), version=1)
    known = rigs(shop)["RIG-2"]
    assert (known.rig.unit, known.rig.springs, known.version) == ("psi", None, 2)
    with pytest.raises(Conflict):
        save_test_rig(shop, fleet.manager, card(), version=1)
    with pytest.raises(Refused, match="already"):
        save_test_rig(shop, fleet.manager, card())
    with pytest.raises(Forbidden):
        save_test_rig(shop, fleet.technician, card(), version=2)


@pytest.mark.parametrize(
    ("instead", "field"),
    [
        ({"code": " "}, "code"),
        ({"unit": "mm"}, "unit"),
        ({"gauges": ()}, "gauges"),
        ({"gauges": ("MIC-1",)}, "gauges"),
        ({"gauges": ("GAUGE-9",)}, "gauges"),
        ({"line": BlankedLine(pressure_bar=D(300), hold_s=0, drop_max_bar=D(5))}, "line_hold_s"),
        ({"line": BlankedLine(pressure_bar=D(300), hold_s=9, drop_max_bar=D(301))}, "line_drop_max_bar"),
        ({"springs": ClampSprings(count=2, lower_n=D(2), upper_n=D(1))}, "spring_lower_n"),
        ({"oil_days": 0}, "oil_days"),
        ({"volume_cm3": D(0)}, "volume_cm3"),
    ],
)
def test_a_card_that_says_nothing_sensible_names_its_field_and_stores_nothing(
    shop: Shop, fleet: Fleet, instead: dict[str, object], field: str
) -> None:
    with pytest.raises(DomainError) as refused:
        save_test_rig(shop, fleet.manager, card(**instead))
    assert refused.value.field == field
    assert set(rigs(shop)) == {RIG}


def test_the_check_of_a_rig_is_made_with_its_own_gauge_and_counts_once(shop: Shop, fleet: Fleet) -> None:
    save_test_rig(shop, fleet.manager, card(springs=None))
    form = Form(key(), 0)
    reading = {"start_bar": D(300), "end_bar": D(299), "held_s": 30}
    with pytest.raises(NotFound):
        record_rig_check(shop, fleet.technician, form, code="RIG-9", gauge="GAUGE-1", **reading)
    with pytest.raises(Refused) as elsewhere:
        record_rig_check(shop, fleet.technician, form, code="RIG-2", gauge="MIC-1", **reading)
    assert elsewhere.value.field == "gauge"
    without_oil = record_rig_check(shop, fleet.technician, form, code="RIG-2", gauge="gauge-1", **reading)
    assert without_oil is not None
    assert not without_oil.good
    assert record_rig_check(shop, fleet.technician, form, code="RIG-2", gauge="GAUGE-1", **reading) is None
    oil = {"name": "Invented oil", "viscosity_mm2_s": D("2.6"), "bulk_modulus_gpa": None}
    with pytest.raises(Refused, match="future"):
        fill_test_oil(shop, fleet.technician, Form(key(), 0), code="RIG-2", changed_on=date(2026, 3, 3), **oil)
    filling = Form(key(), 0)
    for _ in range(2):
        fill_test_oil(shop, fleet.technician, filling, code="RIG-2", changed_on=date(2026, 3, 2), **oil)
    good = record_rig_check(shop, fleet.technician, Form(key(), 0), code="RIG-2", gauge="GAUGE-1", **reading)
    assert good is not None
    assert good.good
    with shop.store.reading() as session:
        row = rig_row(session, "RIG-2")
        assert row is not None
        assert [past.check.good for past in past_checks(session, row, 10)] == [True, False]


def test_a_run_without_a_good_check_of_that_day_is_indicative_and_releases_nothing(
    shop: Shop, fleet: Fleet, clock: Clock
) -> None:
    number = bring_to(shop, fleet, Stage.REBUILT)
    clock.advance(days=1)
    prove(shop, fleet, number)
    record = loaded(shop, number).record
    run = proving_run(record)
    assert run is not None
    assert run.passed
    assert not run.proves
    assert run.started.indicative == "Rig RIG-1 had not been checked on 2026-03-03."
    assert [blocker.code for blocker in release_blockers(record)] == ["run-indicative"]

    check_the_rig(shop, fleet.technician, end_bar="380")
    prove(shop, fleet, number)
    assert "not good" in release_blockers(loaded(shop, number).record)[0].sentence

    check_the_rig(shop, fleet.technician)
    prove(shop, fleet, number)
    assert release_blockers(loaded(shop, number).record) == ()
    assert loaded(shop, number).row.stage == Stage.PROVED


def test_a_run_goes_on_another_day_only_after_a_good_check_of_that_day(shop: Shop, fleet: Fleet, clock: Clock) -> None:
    number = bring_to(shop, fleet, Stage.REBUILT)
    blank = form(shop, number)
    run = start_bench_run(shop, fleet.technician, number, blank, purpose=RunPurpose.PROVING, gauge="GAUGE-1").seq

    def vent() -> Recorded:
        result = PASSING["vent"]
        return record_bench_step(
            shop, fleet.technician, number, form(shop, number), run=run, step="vent", result=result
        )

    clock.advance(days=1)
    with pytest.raises(Refused, match="begun on 2026-03-02, and rig RIG-1 has no good check of today, 2026-03-03"):
        vent()
    check_the_rig(shop, fleet.technician, end_bar="380")
    with pytest.raises(Refused, match="no good check"):
        vent()
    check_the_rig(shop, fleet.technician)
    assert vent().seq > run


def test_a_gauge_that_was_quarantined_in_mid_run_takes_no_pressure_any_more(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.REBUILT)
    blank = form(shop, number)
    run = start_bench_run(shop, fleet.technician, number, blank, purpose=RunPurpose.PROVING, gauge="GAUGE-1").seq
    for step in ("vent", "blow"):
        blank = form(shop, number)
        record_bench_step(shop, fleet.technician, number, blank, run=run, step=step, result=PASSING[step])
    quarantine_instrument(shop, fleet.technician, code="GAUGE-1", reason="Dropped on the floor", version=2)
    blank = form(shop, number)
    with pytest.raises(InstrumentRefused, match="quarantine"):
        record_bench_step(shop, fleet.technician, number, blank, run=run, step="seat", result=PASSING["seat"])


def test_a_gauge_of_two_rigs_asks_for_the_rig_and_one_of_none_makes_an_indicative_run(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.REBUILT)
    save_test_rig(shop, fleet.manager, card())
    with pytest.raises(Refused) as several:
        prove(shop, fleet, number)
    assert several.value.field == "rig"
    assert "RIG-1 or RIG-2" in several.value.sentence
    save_test_rig(shop, fleet.manager, card(in_use=False), version=1)
    prove(shop, fleet, number)
    _, run = next(loaded(shop, number).record.all_of(BenchRunStarted))
    assert run.rig is not None
    assert (run.rig.code, run.rig.check_good, run.indicative) == (RIG, True, "")


def test_the_day_of_a_check_is_that_of_the_place_where_the_workshop_stands(
    shop: Shop, fleet: Fleet, clock: Clock
) -> None:
    number = bring_to(shop, fleet, Stage.REBUILT)
    there = replace(shop, zone=ZoneInfo("Asia/Tokyo"))
    clock.moment = datetime(2026, 3, 9, 22, 30, tzinfo=UTC)  # half past seven on the tenth there
    check_the_rig(there, fleet.technician)
    clock.advance(hours=3)
    prove(there, fleet, number)
    run = proving_run(loaded(there, number).record)
    assert run is not None
    assert run.proves
    assert there.today == date(2026, 3, 10)
    clock.advance(hours=14)  # half past three at night there
    prove(there, fleet, number)
    assert "not been checked on 2026-03-11" in release_blockers(loaded(there, number).record)[0].sentence
