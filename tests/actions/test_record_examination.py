"""Examining one characteristic: the verdict at once, with an instrument that may be used."""

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from typing import Any

import pytest

from service.actions.examining import Measure, pin_reading, record_examination, size_reading, visual_finding
from service.actions.instruments import quarantine_instrument, save_instrument, withdraw_instrument
from service.actions.recording import Form, Recorded
from service.actions.shop import Actor, NotFound, Shop
from service.metrology.errors import DomainError
from service.workshop.entries import Examined
from service.workshop.measurements import Measurement, SizeMeasurement
from service.workshop.permitted import NotPermitted
from service.workshop.reading_budget import USUAL_BENCH
from service.workshop.vocabulary import InstrumentKind, Phase, Stage, VerdictKind
from tests.actions.at_the_bench import as_typed, bring_to, examine, form, loaded
from tests.actions.duties import (
    Act,
    is_out_of_place,
    is_recorded_once,
    keeps_out,
    knows_no_stranger,
    refuses,
    tells_what_changed,
)
from tests.calibrating import calibrate
from tests.registered_fleet import Clock, Fleet
from tests.small_findings import REJECTED, SOUND, pins, sizes
from tests.small_sheet import INSTRUMENTS


def examining(shop: Shop, characteristic: str, measure: Measure, phase: Phase = Phase.FOUND) -> Act:
    def act(actor: Actor, number: str, blank: Form) -> Recorded:
        return record_examination(
            shop, actor, number, blank, characteristic=characteristic, phase=phase, measure=measure
        )

    return act


def on_the_usual_bench(measured: Measurement) -> Measurement:
    """As it is stored where nobody read a thermometer: a length has the workshop's usual temperature."""
    if isinstance(measured, SizeMeasurement) and measured.instrument.unit == "mm":
        return replace(measured, temperature=USUAL_BENCH)
    return measured


def test_a_technician_examines_a_stripped_injector(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.STRIPPED)
    act = examining(shop, "needle-guide", as_typed(shop, SOUND["needle-guide"]))
    keeps_out(shop, number, act, fleet.office)
    knows_no_stranger(shop, fleet, number, act, fleet.technician)
    done = is_recorded_once(shop, number, act, fleet.technician)
    assert isinstance(done.content, Examined)
    assert done.content.outcome.verdict is VerdictKind.CONFORMS
    assert done.stage is Stage.STRIPPED
    tells_what_changed(shop, number, act, fleet.technician, fleet.second_technician)


def test_nothing_is_examined_before_it_is_stripped(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.RECEIVED)
    is_out_of_place(shop, number, examining(shop, "body-pin", as_typed(shop, SOUND["body-pin"])), fleet.technician)


@pytest.mark.parametrize("characteristic", SOUND)
def test_every_kind_of_measurement_is_stored_as_it_was_made(shop: Shop, fleet: Fleet, characteristic: str) -> None:
    number = bring_to(shop, fleet, Stage.STRIPPED)
    for measured in (SOUND[characteristic], REJECTED[characteristic]):
        examine(shop, fleet, number, characteristic, measured)
        stored = loaded(shop, number).record.entries[-1].content
        assert isinstance(stored, Examined)
        assert stored.measurement == on_the_usual_bench(measured)


def test_the_last_examination_brings_the_injector_to_examined(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.EXAMINED)
    assert loaded(shop, number).row.stage == "examined"


def test_two_people_examining_different_things_do_not_disturb_each_other(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.STRIPPED)
    opened = form(shop, number)
    examine(shop, fleet, number, "body-pin", SOUND["body-pin"])
    act = examining(shop, "body-cracks", as_typed(shop, SOUND["body-cracks"]))
    assert act(fleet.second_technician, number, opened).seq == opened.seen + 2


def test_a_characteristic_that_the_sheet_does_not_list_is_not_found(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.STRIPPED)
    act = examining(shop, "taste", as_typed(shop, SOUND["body-pin"]))
    refuses(shop, number, lambda: act(fleet.technician, number, form(shop, number)), NotFound)


def test_the_size_after_rework_waits_for_the_rework(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.STRIPPED)
    act = examining(shop, "body-seat-width", as_typed(shop, SOUND["body-seat-width"]), Phase.AFTER_REWORK)
    error = refuses(shop, number, lambda: act(fleet.technician, number, form(shop, number)), NotPermitted)
    assert error.code == "not-reworked"


BAD: list[tuple[str, Any, str]] = [
    ("needle-guide", sizes("MIC-1", "5.996"), "readings"),
    ("needle-guide", sizes("MIC-1", "5.996", "9000"), "readings"),
    ("needle-guide", sizes("MIC-1", "5.996", "NaN"), "readings"),
    ("nozzle-holes", pins(go_refused=(2,), reject_enters=(2,)), "pins"),
]


@pytest.mark.parametrize(("characteristic", "measured", "field"), BAD)
def test_a_measurement_that_makes_no_sense_is_refused_by_its_field(
    shop: Shop, fleet: Fleet, characteristic: str, measured: Any, field: str
) -> None:
    number = bring_to(shop, fleet, Stage.STRIPPED)
    act = examining(shop, characteristic, as_typed(shop, measured))
    error = refuses(shop, number, lambda: act(fleet.technician, number, form(shop, number)), DomainError)
    assert error.field == field


READINGS = (D("5.996"), D("5.997"))


Spoil = Callable[[Shop, Fleet], None]


def corrected(**changes: Any) -> Spoil:
    """The micrometer's entry with something else in it."""
    fields = {"code": "MIC-1", "kind": INSTRUMENTS["MIC-1"].kind, "unit": "mm", "version": 2}
    return lambda shop, fleet: (save_instrument(shop, fleet.manager, **{**fields, **changes}), None)[1]


def put_away(act: Callable[..., None]) -> Spoil:
    """The micrometer shut away."""
    return lambda shop, fleet: act(shop, fleet.manager, code="MIC-1", reason="Dropped", version=2)


def uncalibrated(shop: Shop, fleet: Fleet) -> None:
    """A micrometer that nobody calibrated yet."""
    save_instrument(shop, fleet.manager, code="MIC-2", kind=InstrumentKind.MICROMETER, unit="mm")


def overdue(shop: Shop, fleet: Fleet) -> None:
    """The micrometer, calibrated anew with a due day that is yesterday."""
    calibrate(shop, fleet, calibrated_on=date(2026, 2, 1), due=date(2026, 3, 1))


@pytest.mark.parametrize(
    ("code", "spoil", "refusal"),
    [
        ("", None, "no-instrument"),
        ("MIC-99", None, "no-instrument"),
        ("BORE-1", None, "instrument-kind"),
        ("MIC-1", corrected(unit="µm"), "instrument-unit"),
        ("MIC-1", corrected(lower=D(25), upper=D(50)), "instrument-range"),
        ("MIC-1", put_away(withdraw_instrument), "instrument-withdrawn"),
        ("MIC-1", put_away(quarantine_instrument), "instrument-quarantined"),
        ("MIC-1", overdue, "calibration-due"),
        ("MIC-2", uncalibrated, "no-calibration"),
    ],
)
def test_an_instrument_that_may_not_be_used_is_refused(
    shop: Shop, fleet: Fleet, code: str, spoil: Spoil | None, refusal: str
) -> None:
    number = bring_to(shop, fleet, Stage.STRIPPED)
    if spoil:
        spoil(shop, fleet)
    act = examining(shop, "needle-guide", size_reading(shop, READINGS, code))
    error = refuses(shop, number, lambda: act(fleet.technician, number, form(shop, number)), DomainError)
    assert (error.code, error.field) == (refusal, "instrument")


def test_an_instrument_may_be_used_on_the_day_that_it_is_due_and_not_the_day_after(
    shop: Shop, fleet: Fleet, clock: Clock
) -> None:
    number = bring_to(shop, fleet, Stage.STRIPPED)
    calibrate(shop, fleet, calibrated_on=date(2026, 2, 1), due=clock.moment.date())
    act = examining(shop, "needle-guide", size_reading(shop, READINGS, " mic-1 "))
    act(fleet.technician, number, form(shop, number))
    clock.advance(days=1)
    refuses(shop, number, lambda: act(fleet.technician, number, form(shop, number)), DomainError)


def test_gauging_needs_the_pin_set_and_a_seat_the_microscope(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.STRIPPED)
    wrong: list[tuple[str, Measure]] = [
        ("nozzle-holes", pin_reading(shop, pins().passes, "MIC-1")),
        ("needle-seat", visual_finding(shop, ("even",), D(9), "")),
        ("needle-seat", visual_finding(shop, ("even",), D(9), "MIC-1")),
    ]
    for characteristic, measure in wrong:
        act = examining(shop, characteristic, measure)
        error = refuses(shop, number, lambda act=act: act(fleet.technician, number, form(shop, number)), DomainError)  # type: ignore[misc]
        assert error.field == "instrument"


def test_the_entry_keeps_the_instrument_as_it_was_when_used(shop: Shop, fleet: Fleet) -> None:
    number = bring_to(shop, fleet, Stage.STRIPPED)
    examine(shop, fleet, number, "needle-guide", SOUND["needle-guide"])
    calibrate(shop, fleet, expanded_uncertainty=D("0.005"), certificate="CAL-NEW")
    stored = loaded(shop, number).record.entries[-1].content
    assert isinstance(stored, Examined)
    assert stored.measurement == on_the_usual_bench(SOUND["needle-guide"])
    assert INSTRUMENTS["MIC-1"].kind is InstrumentKind.MICROMETER
    used = shop.store.rows(
        "SELECT i.code FROM entry_instrument e JOIN instrument i ON i.id = e.instrument_id ORDER BY e.entry_id DESC"
    )
    assert used[0][0] == "MIC-1"
