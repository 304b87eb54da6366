"""Runs on the test rig, step by step on their pages."""

from decimal import Decimal

import pytest

from service.actions.bench_testing import start_bench_run
from service.workshop.step_results import EmissionResult, OpeningPressureResult, SeatTightnessResult
from service.workshop.vocabulary import RunPurpose, Stage
from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, form_of, has_form, words_of
from tests.pages.test_settlement import without_keys
from tests.small_findings import FAILING

TYPED: dict[str, dict[str, str | list[str]]] = {
    "vent": {"air_free": "yes"},
    "blow": {"strokes": "7"},
    "seat": {"pressure": "30 MPa", "held_s": "12", "dry": "yes"},
    "opening": {"strokes_bar": ["350", "35,1 MPa", "352 bar", "", ""]},
    "emission": {"hole-1": "yes", "hole-2": "yes", "hole-3": "yes", "hole-4": "yes"},
    "drop": {"seen_drop": "yes"},
    "external": {"pressure": "100", "held_s": "31", "leaks": ["none"]},
}


def started(injector: Injector) -> int:
    """A proving run with nothing recorded yet."""
    return start_bench_run(
        injector.shop,
        injector.technician,
        injector.number,
        injector.form(),
        purpose=RunPurpose.PROVING,
        gauge="GAUGE-1",
    ).seq


def step_page(injector: Injector, run: int, step: str) -> str:
    return f"{injector.address}/bench-runs/{run}/steps/{step}"


def up_to(injector: Injector, technician: Visitor, run: int, step: str) -> None:
    """Record every step before that one."""
    for key, typed in TYPED.items():
        if key == step:
            return
        technician.fill(step_page(injector, run, key), "/steps/", **typed)


def test_the_cautions_of_the_rig_stand_on_the_runs_and_on_every_step(injector: Injector, technician: Visitor) -> None:
    run = started(injector.rebuilt())
    pages = [f"{injector.address}/proving", *(step_page(injector, run, key) for key in TYPED)]
    for page in pages:
        words = words_of(technician.get(page))
        assert "Oil injected under the skin is a surgical emergency: to hospital at once." in words
        assert "Spray mist ignites" in words


def test_an_injector_just_received_is_tested_as_found(injector: Injector, technician: Visitor) -> None:
    page = technician.get(f"{injector.address}/proving")
    assert "Start the as-found test" in words_of(page)
    first = technician.fill(f"{injector.address}/proving", "/bench-runs", gauge="GAUGE-1")
    assert "As-found test, gauge GAUGE-1" in words_of(first)
    assert "Fill and vent" in words_of(first)


def test_no_run_starts_before_the_rebuild_is_done(injector: Injector, technician: Visitor) -> None:
    injector.examined()
    page = technician.get(f"{injector.address}/proving")
    assert not has_form(page, "/bench-runs")
    assert "Settle and agree every part first." in words_of(page)


def test_a_run_without_a_gauge_is_refused_beside_the_list(injector: Injector, technician: Visitor) -> None:
    injector.rebuilt()
    answer = technician.fill(f"{injector.address}/proving", "/bench-runs")
    assert answer.status_code == 422
    assert 'id="start-gauge-error"' in answer.text


def test_a_whole_run_is_walked_one_step_a_screen(injector: Injector, technician: Visitor) -> None:
    injector.rebuilt()
    page = technician.fill(f"{injector.address}/proving", "/bench-runs", gauge="GAUGE-1")
    for key, typed in TYPED.items():
        page = technician.send(form_of(page, f"/steps/{key}"), **typed)
        page = technician.get(page.headers["location"])
        assert "Pass" in words_of(page)
        if key != "external":
            onward = page.text.split("button-primary")[1].split('href="')[1].split('"')[0]
            page = technician.get(onward)
    assert injector.stage is Stage.PROVED
    assert f'href="{injector.address}/release"' in page.text


def test_pressures_in_other_units_are_stored_in_bar(injector: Injector, technician: Visitor) -> None:
    # 1 MPa is 10 bar (SI Brochure); 1 psi is 6894.757293168 Pa (NIST SP 811), so 4500 psi are 310.264 bar.
    run = started(injector.rebuilt())
    up_to(injector, technician, run, "seat")
    technician.fill(step_page(injector, run, "seat"), "/steps/", pressure="4500 psi", held_s="12", dry="yes")
    technician.fill(step_page(injector, run, "opening"), "/steps/", **TYPED["opening"])
    results = [entry.content.result for entry in injector.record.entries if entry.content.kind == "bench-step"]
    seat, opening = results[2], results[3]
    assert isinstance(seat, SeatTightnessResult)
    assert abs(seat.pressure_bar - Decimal("310.264")) < Decimal("0.001")
    assert isinstance(opening, OpeningPressureResult)
    assert opening.strokes_bar == (Decimal(350), Decimal(351), Decimal(352))


def test_a_step_out_of_the_plans_order_is_refused_and_keeps_what_was_typed(
    injector: Injector, technician: Visitor
) -> None:
    run = started(injector.rebuilt())
    early = technician.get(step_page(injector, run, "opening"))
    assert not has_form(early, "/steps/")
    assert "Next: Fill and vent" in words_of(early)
    form = form_of(technician.get(step_page(injector, run, "vent")), "/steps/vent")
    form.action = step_page(injector, run, "opening")
    answer = technician.send(form, strokes_bar=["350", "351", "352"])
    assert answer.status_code == 422
    assert "The plan's order counts: Fill and vent comes next." in words_of(answer)
    assert form_of(answer, "/steps/opening").fields["strokes_bar"][:3] == ["350", "351", "352"]


@pytest.mark.parametrize(
    ("step", "typed", "field", "sentence"),
    [
        ("vent", {}, "air_free", "Say whether the oil comes without air, or that you cannot tell."),
        ("blow", {"strokes": "many"}, "strokes", "Full strokes: enter a whole number."),
        ("seat", {"pressure": "300 Nm", "held_s": "12", "dry": "yes"}, "pressure", "use bar, MPa, kgf/cm² or psi"),
        ("seat", {"pressure": "-300", "held_s": "12", "dry": "yes"}, "pressure", "enter 0 to 3000 bar"),
        ("seat", {"pressure": "NaN", "held_s": "12", "dry": "yes"}, "pressure", "which is not a number"),
        ("seat", {"pressure": "300", "held_s": "-1", "dry": "yes"}, "held_s", "0 to 3600"),
        ("seat", {"pressure": "300", "held_s": "12"}, "dry", "Say whether the nozzle stayed dry, or"),
        ("opening", {"strokes_bar": ["350", "351"]}, "strokes_bar", "2 of at least 3 strokes are entered"),
        ("opening", {"strokes_bar": ["350", "x", "352"]}, "strokes_bar-2", "Stroke 2 reads “x”"),
        ("emission", {"hole-1": "yes"}, "hole-2", "Say whether hole 2 sprays, or that you cannot tell."),
        ("emission", {"hole-1": "perhaps", "others": "spray"}, "hole-1", "Say whether hole 1 sprays"),
        ("drop", {}, "seen_drop", "Say whether the quick drop showed, or"),
        ("external", {"pressure": "100", "held_s": "31"}, "leaks", "Tick where it leaks, that it does not, or"),
    ],
)
def test_an_answer_that_is_none_is_refused_at_its_field(
    injector: Injector,
    technician: Visitor,
    step: str,
    typed: dict[str, str | list[str]],
    field: str,
    sentence: str,
) -> None:
    run = started(injector.rebuilt())
    up_to(injector, technician, run, step)
    before = injector.record.last_seq
    answer = technician.fill(step_page(injector, run, step), "/steps/", **typed)
    assert answer.status_code == 422
    assert sentence in words_of(answer)
    assert f'id="step-{field}-error"' in answer.text
    assert injector.record.last_seq == before, "nothing is stored half"


def test_a_silent_hole_fails_the_run_and_says_what_to_do(injector: Injector, technician: Visitor) -> None:
    run = started(injector.rebuilt())
    up_to(injector, technician, run, "emission")
    page = technician.fill(step_page(injector, run, "emission"), "/steps/", **{"hole-3": "no", "others": "spray"})
    words = words_of(page)
    assert "Fail No spray from hole 3. Do next Clean it." in words
    assert "Hole 3 does not spray" in words
    assert isinstance(injector.record.entries[-1].content.result, EmissionResult)
    runs = technician.get(f"{injector.address}/proving")
    assert "Failed" in words_of(runs)
    assert "Go on:" not in words_of(runs), "after a failure the whole test is repeated"


def test_a_leak_names_the_seal_that_failed(injector: Injector, technician: Visitor) -> None:
    run = started(injector.rebuilt())
    up_to(injector, technician, run, "external")
    page = technician.fill(
        step_page(injector, run, "external"), "/steps/", pressure="100", held_s="31", leaks=["nut", "union"]
    )
    assert "the ring under the nut leaks" in words_of(page)
    assert "the ring of the union leaks" in words_of(page)


def test_a_void_run_stays_in_sight_with_its_reason_in_words(injector: Injector, technician: Visitor) -> None:
    injector.rebuilt().tested()
    technician.fill(f"{injector.address}/rebuild", "form=discs", added=["0.10"], reason="Opens low.")
    page = technician.get(f"{injector.address}/proving")
    words = words_of(page)
    assert "Void: does not count" in words
    assert "Adjusting discs were changed afterwards: Opens low." in words
    assert "<s>7 strokes</s>" in page.text or "<s>6 strokes</s>" in page.text


def test_a_step_of_a_void_run_is_refused(injector: Injector, technician: Visitor) -> None:
    run = started(injector.rebuilt())
    form = form_of(technician.get(step_page(injector, run, "vent")), "/steps/vent")
    technician.fill(f"{injector.address}/rebuild", "form=reopening", reason="Drip at the nut")
    injector.finish_rebuild()
    answer = technician.send(form, air_free="yes")
    assert answer.status_code == 422
    assert "This run is void." in words_of(answer)


def test_another_run_warns_that_the_passed_one_becomes_void(injector: Injector, technician: Visitor) -> None:
    injector.rebuilt()
    assert "This voids a bench run." not in words_of(technician.get(f"{injector.address}/proving"))
    injector.tested()
    words = words_of(technician.get(f"{injector.address}/proving"))
    assert "Start another proving run This voids a bench run. The proving run of 2 Mar 2026 has passed." in words


def test_a_failed_run_may_be_repeated_newest_first(injector: Injector, technician: Visitor) -> None:
    injector.rebuilt()
    first = injector.tested(drop=FAILING["drop"])
    second = injector.tested()
    text = technician.get(f"{injector.address}/proving").text
    assert text.index(f'id="run-{second}"') < text.index(f'id="run-{first}"')
    assert "A newer run was started: the whole test is repeated." in text


def test_recording_a_step_twice_by_one_form_records_once(injector: Injector, technician: Visitor) -> None:
    run = started(injector.rebuilt())
    form = form_of(technician.get(step_page(injector, run, "vent")), "/steps/vent")
    assert technician.send(form, air_free="yes").status_code == 303
    before = injector.record.last_seq
    assert technician.send(form, air_free="yes").status_code == 303
    assert injector.record.last_seq == before


@pytest.mark.parametrize(
    "place", ["/bench-runs/999/steps/vent", "/bench-runs/{run}/steps/polish", "/bench-runs/x/steps/vent"]
)
def test_a_step_that_is_none_is_not_found(injector: Injector, technician: Visitor, place: str) -> None:
    run = started(injector.rebuilt())
    assert technician.get(injector.address + place.format(run=run)).status_code == 404


def test_htmx_gets_the_verdict_in_the_forms_place(injector: Injector, technician: Visitor) -> None:
    run = started(injector.rebuilt())
    address = step_page(injector, run, "vent")
    part = technician.send(form_of(technician.get(address), "/steps/vent"), part=True, air_free="yes")
    assert part.status_code == 200
    assert "<html" not in part.text
    assert without_keys(part.text) in without_keys(technician.get(address).text)


def test_htmx_is_sent_on_to_the_first_step(injector: Injector, technician: Visitor) -> None:
    injector.rebuilt()
    form = form_of(technician.get(f"{injector.address}/proving"), "/bench-runs")
    answer = technician.send(form, part=True, gauge="GAUGE-1")
    assert answer.headers["hx-redirect"].endswith("/steps/vent")
