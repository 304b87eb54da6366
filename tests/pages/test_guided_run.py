"""The run as it guides: three answers to every question, a timer, the unit of the dial, what to do about a fail."""

import re
from dataclasses import replace
from decimal import Decimal as D

import pytest

from service.actions.bench_testing import start_bench_run
from service.actions.sheets import approve_draft, open_draft, save_draft
from service.actions.shop import Shop
from service.actions.test_rigs import RigCard, save_test_rig
from service.workshop.step_results import BackLeakageResult, EmissionResult, SeatTightnessResult
from service.workshop.test_rig import BlankedLine
from service.workshop.vocabulary import RunPurpose
from tests.longer_plan import CYLINDER, LONGER_SHEET
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.pages.pressure_sheet import strokes
from tests.pages.test_proving import TYPED as SHORTER
from tests.pages.test_proving import step_page
from tests.registered_fleet import RIG, Fleet, register_instrument
from tests.small_sheet import TYPE_CODE

LEAKAGE: dict[str, str | list[str]] = {
    "pressure": "201",
    "measured_s": "60",
    "volume_ml": "6",
    "cylinder": CYLINDER.code,
}
TYPED: dict[str, dict[str, str | list[str]]] = {
    "vent": SHORTER["vent"],
    "flush": {"flushed_s": "65", "clean": "yes"},
    **SHORTER,
    "leakage": LEAKAGE,
}
TIMER = re.compile(r'data-timer="([^"]+)" data-seconds="(\d+)" data-fills="([^"]+)" hidden>')


@pytest.fixture
def run(shop: Shop, fleet: Fleet) -> tuple[Injector, int]:
    """A test as found by the longer plan with nothing recorded yet."""
    register_instrument(shop, fleet.manager, CYLINDER)
    open_draft(shop, fleet.manager, type_code=TYPE_CODE)
    save_draft(shop, fleet.manager, LONGER_SHEET, version=1)
    approve_draft(shop, fleet.manager, type_code=TYPE_CODE, version=2)
    injector = received(shop, fleet)
    return injector, as_found(injector)


def as_found(injector: Injector) -> int:
    """The injector on the rig as it came; gives the run's number."""
    purpose, gauge = RunPurpose.AS_FOUND, "GAUGE-1"
    blank = injector.form()
    return start_bench_run(injector.shop, injector.technician, injector.number, blank, purpose=purpose, gauge=gauge).seq


def dial(shop: Shop, fleet: Fleet, unit: str) -> None:
    """Let the rig's dial be divided in that unit."""
    line = BlankedLine(pressure_bar=D(400), hold_s=60, drop_max_bar=D(10))
    card = RigCard(
        code=RIG,
        description="Invented rig",
        unit=unit,
        gauges=("GAUGE-1",),
        line=line,
        springs=None,
        oil_days=None,
        volume_cm3=None,
    )
    save_test_rig(shop, fleet.manager, card, version=1)


def up_to(injector: Injector, technician: Visitor, number: int, step: str) -> str:
    """Record every step before that one; gives its page."""
    for key, typed in TYPED.items():
        if key == step:
            break
        technician.fill(step_page(injector, number, key), "/steps/", **typed)
    return step_page(injector, number, step)


def test_a_timer_counts_to_the_plans_time_where_time_matters_and_nowhere_else(
    run: tuple[Injector, int], technician: Visitor
) -> None:
    injector, number = run
    timers: dict[str, list[tuple[str, str, str]]] = {}
    for key, typed in TYPED.items():
        page, again = (technician.get(step_page(injector, number, key)) for _ in range(2))
        timers[key] = TIMER.findall(page.text)
        assert timers[key] == TIMER.findall(again.text), "a reload finds what was started"
        assert all(f'<input id="{fills}"' in page.text for _, _, fills in timers[key])
        assert not re.search(r"<style|style=|<script>|onclick", page.text)
        technician.send(form_of(page, f"/steps/{key}"), **typed)
    assert {key: [(seconds, fills) for _, seconds, fills in found] for key, found in timers.items() if found} == {
        "flush": [("60", "step-flushed_s")],
        "seat": [("10", "step-held_s")],
        "external": [("30", "step-held_s")],
        "leakage": [("60", "step-measured_s")],
    }


def test_back_leakage_is_caught_in_a_measuring_cylinder_that_is_in_date(
    run: tuple[Injector, int], technician: Visitor
) -> None:
    injector, number = run
    page = up_to(injector, technician, number, "leakage")
    offered = technician.get(page)
    assert 'value="CYL-1"' in offered.text
    assert 'value="MIC-1"' not in offered.text
    assert "Oil from the return 2 to 10 ml" in words_of(offered)
    without = technician.fill(page, "/steps/", **{**LEAKAGE, "cylinder": ""})
    assert 'id="step-cylinder-error"' in without.text
    answer = technician.fill(page, "/steps/", **LEAKAGE)
    assert "Pass 6 ml/min came back" in words_of(answer)
    assert "Back to the runs" in words_of(answer)
    result = injector.record.entries[-1].content.result
    assert isinstance(result, BackLeakageResult)
    assert result.cylinder is not None
    assert (result.volume_ml, result.cylinder.calibration) == (D(6), "CERT-CYL-1")


def test_a_step_that_nobody_can_tell_of_says_how_to_get_an_answer_and_is_recorded_again(
    run: tuple[Injector, int], technician: Visitor
) -> None:
    injector, number = run
    page = up_to(injector, technician, number, "seat")
    unclear = technician.fill(page, "/steps/", pressure="300", held_s="10", dry="unclear")
    words = words_of(unclear)
    assert "Cannot tell Nobody could tell whether the nozzle stayed dry. How to get an answer Wipe" in words
    assert 'class="verdict-panel verdict-not-proven"' in unclear.text
    assert has_form(unclear, "/steps/seat")
    runs = words_of(technician.get(f"{injector.address}/proving"))
    assert "Cannot tell yet" in runs
    assert "Go on: Seat tightness" in runs
    clear = technician.fill(page, "/steps/", pressure="300", held_s="12", dry="yes")
    words = words_of(clear)
    assert "Pass The seat stayed dry" in words
    assert "Recorded before in this run Cannot tell not clear at 300 bar for 10 s" in words
    assert "Tove Technician" in words.split("Recorded before")[1]
    assert "Next: Opening pressure" in words
    assert "Recorded 2 times" in words_of(technician.get(f"{injector.address}/proving"))


def test_a_hole_that_nobody_can_tell_of_is_marked_on_the_drawing(
    run: tuple[Injector, int], technician: Visitor
) -> None:
    injector, number = run
    page = up_to(injector, technician, number, "emission")
    answer = technician.fill(page, "/steps/", **{"hole-2": "unclear", "others": "spray"})
    assert "Hole 2 cannot be told" in words_of(answer)
    assert 'class="hole-not-proven"' in answer.text
    result = injector.record.entries[-1].content.result
    assert result == EmissionResult(spraying=(1, 3, 4), unclear=(2,))


def test_a_wet_nozzle_names_its_places_with_likely_causes_and_what_to_do_next(
    run: tuple[Injector, int], technician: Visitor
) -> None:
    injector, number = run
    page = up_to(injector, technician, number, "seat")
    answer = technician.fill(page, "/steps/", pressure="250", held_s="4", dry="no", leaks=["tip", "nut"])
    words = words_of(answer)
    assert "Likely causes Seat not tight Flat face scored Do next Lap the seat." in words
    assert not has_form(answer, "/steps/")
    assert "Likely causes Seat not tight Flat face scored" in words_of(technician.get(f"{injector.address}/proving"))


def test_dry_and_a_place_that_leaks_cannot_both_be(run: tuple[Injector, int], technician: Visitor) -> None:
    injector, number = run
    page = up_to(injector, technician, number, "seat")
    answer = technician.fill(page, "/steps/", pressure="300", held_s="12", dry="yes", leaks=["tip"])
    assert answer.status_code == 422
    assert 'id="step-dry-error"' in answer.text


@pytest.mark.parametrize(
    ("unit", "hold", "typed"), [("psi", "4352 psi 300 bar", "4352"), ("kgf/cm²", "306 kgf/cm² 300 bar", "306")]
)
def test_the_rigs_dial_says_in_which_unit_the_plan_is_shown_and_a_bare_number_is_taken(
    shop: Shop, fleet: Fleet, injector: Injector, technician: Visitor, unit: str, hold: str, typed: str
) -> None:
    dial(shop, fleet, unit)
    number = as_found(injector)
    technician.fill(step_page(injector, number, "vent"), "/steps/", **SHORTER["vent"])
    technician.fill(step_page(injector, number, "blow"), "/steps/", **SHORTER["blow"])
    page = technician.get(step_page(injector, number, "seat"))
    assert f"Pressure to hold {hold}" in words_of(page)
    assert f"A bare number is in {unit}" in words_of(page)
    assert f'<span class="unit">{unit}</span>' in page.text
    recorded = technician.fill(step_page(injector, number, "seat"), "/steps/", pressure=typed, held_s="12", dry="yes")
    assert "Pass" in words_of(recorded), "what the dial is asked to show is enough"
    result = injector.record.entries[-1].content.result
    assert isinstance(result, SeatTightnessResult)
    assert D(300) <= result.pressure_bar < D("300.2")
    runs = words_of(technician.get(f"{injector.address}/proving"))
    assert f"{result.pressure_bar} bar for 12 s {typed} {unit}" in runs
    assert f"{hold.removesuffix(' 300 bar')}" in runs


def test_a_pressure_in_another_unit_than_the_dials_is_taken_with_its_unit(
    shop: Shop, fleet: Fleet, injector: Injector, technician: Visitor
) -> None:
    dial(shop, fleet, "psi")
    number = as_found(injector)
    for key in ("vent", "blow"):
        technician.fill(step_page(injector, number, key), "/steps/", **SHORTER[key])
    form = form_of(technician.get(step_page(injector, number, "seat")), "/steps/seat")
    assert technician.send(form, pressure="30 MPa", held_s="12", dry="yes").status_code == 303
    typed: list[str] = ["350 bar", "5091", "352 bar"]
    technician.fill(step_page(injector, number, "opening"), "/steps/", strokes_bar=typed)
    results = [entry.content.result for entry in injector.record.entries if entry.content.kind == "bench-step"]
    assert results[2] == replace(results[2], pressure_bar=D(300))
    # 5091 psi are 351.012 bar by NIST SP 811.
    assert results[3].strokes_bar == (D(350), D("351.012"), D(352))


def test_an_opening_pressure_to_be_set_is_told_on_the_dial_too(
    shop: Shop, fleet: Fleet, injector: Injector, technician: Visitor
) -> None:
    dial(shop, fleet, "psi")
    injector.rebuilt().tested(opening=strokes("335"))
    words = words_of(technician.get(f"{injector.address}/proving"))
    # By NIST SP 811: 335 bar are 4858.8 psi, 347 and 358 bar are 5032.8 and 5192.4.
    assert "Opening pressure now 335 bar 4859 psi" in words
    assert "so that it is proven 5033 to 5192 psi" in words
