"""The test rig over JSON. Common practice, no source: 50 bar below, at most five discs, the whole test again."""

from typing import Any

import pytest

from tests.api.callers import PASSING, Injector, Person

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])


@pytest.fixture
def rebuilt(injector: Injector, technician: Person) -> Injector:
    """Ready for the rig."""
    injector.strip(technician)
    injector.examine(technician)
    injector.record(technician, "settlements/as-proposed")
    injector.rebuild(technician)
    return injector


def test_what_the_owner_sent_is_tested_before_it_is_stripped(injector: Injector, technician: Person) -> None:
    run = injector.record(technician, "bench-runs", purpose="as-found", gauge="GAUGE-1")["seq"]
    injector.record(technician, f"bench-runs/{run}/steps/vent", result=PASSING["vent"])
    injector.strip(technician)
    kept = injector.look(technician)["bench_runs"][0]
    assert (kept["purpose"], kept["void_reason"], kept["next_step"]) == ("as-found", "", "blow")


def test_a_wet_seat_fails_the_run_and_the_whole_test_is_repeated(rebuilt: Injector, technician: Person) -> None:
    run = rebuilt.prove(technician, seat={**PASSING["seat"], "dry": False})
    stopped = rebuilt.send(technician, f"bench-runs/{run}/steps/opening", result=PASSING["opening"])
    assert (stopped.status_code, stopped.json()["code"]) == (422, "run-failed")
    assert "run-failed" in rebuilt.blockers(technician)
    failed = rebuilt.look(technician)["bench_runs"][0]["steps"][-1]
    assert failed["outcome"]["next_action"] == "Open it and look at the seat."
    rebuilt.prove(technician)
    assert rebuilt.look(technician)["stage"] == "proved"


def test_a_step_that_nobody_can_tell_of_is_recorded_again(rebuilt: Injector, technician: Person) -> None:
    run = rebuilt.record(technician, "bench-runs", purpose="proving", gauge="GAUGE-1")["seq"]
    unclear = rebuilt.record(technician, f"bench-runs/{run}/steps/vent", result={**PASSING["vent"], "air_free": None})
    assert (unclear["outcome"]["passed"], unclear["outcome"]["undecided"]) == (False, True)
    assert "run-unclear" in rebuilt.blockers(technician)
    rebuilt.record(technician, f"bench-runs/{run}/steps/vent", result=PASSING["vent"])
    told = rebuilt.look(technician)["bench_runs"][0]
    assert (told["next_step"], [one["outcome"]["undecided"] for one in told["earlier"]]) == ("blow", [True])


def test_the_plans_order_counts(rebuilt: Injector, technician: Person) -> None:
    run = rebuilt.record(technician, "bench-runs", purpose="proving", gauge="GAUGE-1")["seq"]
    early = rebuilt.send(technician, f"bench-runs/{run}/steps/seat", result=PASSING["seat"])
    assert (early.status_code, early.json()["code"]) == (422, "step-order")
    for path in (f"bench-runs/{run}/steps/polish", "bench-runs/1/steps/vent"):
        assert rebuilt.send(technician, path, result=PASSING["vent"]).status_code == 404, path
    other = rebuilt.send(technician, f"bench-runs/{run}/steps/vent", result=PASSING["blow"])
    assert (other.status_code, other.json()["code"]) == (422, "wrong-result")


def test_not_more_than_five_discs_are_added(rebuilt: Injector, technician: Person) -> None:
    many = rebuilt.send(technician, "disc-changes", added=["0.05"] * 6, reason="Much higher")
    assert (many.status_code, many.json()["code"], many.json()["field"]) == (422, "too-many-discs", "added")
    rebuilt.record(technician, "disc-changes", added=["0.05"] * 5, reason="Higher")
    assert rebuilt.send(technician, "disc-changes", added=[0.05], reason="Higher").json()["code"] == "too-many-discs"


@pytest.mark.parametrize(
    ("step", "result", "code", "field"),
    [
        ("seat", {"pressure_bar": "90000"}, "magnitude-absurd", "pressure_bar"),
        ("seat", {"pressure_bar": -300}, "magnitude-absurd", "pressure_bar"),
        ("seat", {"pressure_bar": "300 mm"}, "unit-wrong-dimension", "pressure_bar"),
        ("seat", {"held_s": 4000}, "held", "held_s"),
        ("seat", {"held_s": -1}, "invalid", "result.held_s"),
        ("seat", {"dry": "yes"}, "invalid", "result.dry"),
        ("opening", {"strokes_bar": ["350", "350"]}, "too-few-strokes", "strokes_bar"),
        ("opening", {"strokes_bar": ["350", "350", "350000"]}, "magnitude-absurd", "strokes_bar"),
        ("emission", {"spraying": [1, 5]}, "hole", "spraying"),
        ("external", {"leaks": ["roof"]}, "leak-place", "leaks"),
        ("external", {"pressure_bar": "1e9"}, "magnitude-absurd", "pressure_bar"),
    ],
)
def test_a_bench_result_that_cannot_be_is_refused_by_its_field(
    rebuilt: Injector, technician: Person, step: str, result: dict[str, Any], code: str, field: str
) -> None:
    run = rebuilt.record(technician, "bench-runs", purpose="proving", gauge="GAUGE-1")["seq"]
    for before in PASSING:
        if before == step:
            break
        rebuilt.record(technician, f"bench-runs/{run}/steps/{before}", result=PASSING[before])
    seen = rebuilt.look(technician)["seen"]
    answer = rebuilt.send(technician, f"bench-runs/{run}/steps/{step}", result={**PASSING[step], **result})
    problem = answer.json()
    assert (answer.status_code, problem["code"], problem["field"]) == (422, code, field), problem
    assert rebuilt.look(technician)["seen"] == seen


def test_a_torque_or_a_disc_that_nobody_has_is_refused(injector: Injector, technician: Person) -> None:
    for noun, body, code, field in (
        ("torques", {"point": "nut", "value": "100 bar", "wrench": "WRENCH-1"}, "unit-wrong-dimension", "value"),
        ("torques", {"point": "nut", "value": -100, "wrench": "WRENCH-1"}, "magnitude-absurd", "value"),
        ("torques", {"point": "nut", "value": 100, "wrench": "MIC-1"}, "instrument-kind", "wrench"),
        ("disc-changes", {"added": ["50"], "reason": "Higher"}, "magnitude-absurd", "added"),
        ("disc-changes", {"removed": ["x"], "reason": "Lower"}, "number-unreadable", "removed"),
        ("disc-changes", {"added": ["0.05"], "reason": " "}, "reason-missing", "reason"),
        ("fittings", {"item": "nozzle-set", "batch": " "}, "batch-missing", "batch"),
    ):
        answer = injector.send(technician, noun, **body)
        assert (answer.status_code, answer.json()["code"], answer.json()["field"]) == (422, code, field), noun
