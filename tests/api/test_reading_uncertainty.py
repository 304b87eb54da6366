"""The budget of a reading over JSON: what it was judged with comes back with the verdict, every figure exact."""

from decimal import Decimal as D
from typing import Any

import pytest

from tests.api.callers import PASSING, Injector, Person

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])


@pytest.fixture
def stripped(injector: Injector, technician: Person) -> Injector:
    """Ready to be examined."""
    injector.strip(technician)
    return injector


def measured(stripped: Injector, technician: Person, **more: Any) -> dict[str, Any]:
    """The budget of the width of the body's seat, read once."""
    body = {"kind": "size", "characteristic": "body-seat-width", "readings": ["1.1"], "instrument": "MIC-1", **more}
    found: dict[str, Any] = stripped.record(technician, "examinations", **body)["verdict"]["uncertainty"]
    return found


def state(manager: Person, **more: Any) -> Any:
    """The manager states what was found of the micrometer."""
    known = manager.get("/instruments/MIC-1").json()
    body = {"kind": "micrometer", "unit": "mm", "version": known["version"], "resolution": "1 µm", **more}
    return manager.put("/instruments/MIC-1", body)


def test_a_stated_repeatability_is_a_line_of_the_next_budget(
    stripped: Injector, technician: Person, manager: Person
) -> None:
    kept = state(manager, repeatability="0.4 µm", repeatability_readings=20).json()
    assert (kept["repeatability"], kept["repeatability_readings"]) == ("0.0004", 20)
    found = measured(stripped, technician, bench_temperature_c="27,5")
    lines = {line["name"]: line for line in found["lines"]}
    assert lines["Repeatability"]["stated"] == "0.0004"
    assert (lines["Repeatability"]["evaluation"], lines["Repeatability"]["degrees_of_freedom"]) == ("A", "19")
    assert lines["Expansion of the part"]["source"] == "27.5 °C ± 1 K, measured at the bench"
    assert (found["unit"], found["expanded"], found["unknown"]) == ("mm", "0.0015", [])
    assert sum(D(line["share_percent"]) for line in found["lines"]) == pytest.approx(D(100), abs=D("0.5"))


def test_what_was_kept_is_what_is_read_later(stripped: Injector, technician: Person, manager: Person) -> None:
    found = measured(stripped, technician)
    state(manager, repeatability="0.5", repeatability_readings=3)
    items = stripped.look(technician)["characteristics"]
    again = next(item["found"] for item in items if item["key"] == "body-seat-width")
    assert again["uncertainty"] == found
    assert len(found["unknown"]) == 2, "neither resolution nor repeatability was stated"


def test_a_temperature_that_no_bench_has_is_refused(stripped: Injector, technician: Person) -> None:
    body = {"kind": "size", "characteristic": "body-seat-width", "readings": ["1.1"], "instrument": "MIC-1"}
    hot = stripped.send(technician, "examinations", **body, bench_temperature_c=200)
    assert (hot.status_code, hot.json()["field"]) == (422, "bench_temperature")
    wrong = stripped.send(technician, "examinations", **body, bench_temperature_c="3 bar")
    assert (wrong.status_code, wrong.json()["code"]) == (422, "unit-wrong-dimension")


def test_a_repeatability_needs_its_number_of_readings(manager: Person, injector: Injector) -> None:
    refused = state(manager, repeatability="0.001")
    assert (refused.status_code, refused.json()["field"]) == (422, "repeatability_readings")


def test_the_scatter_of_the_strokes_is_told_with_the_step(stripped: Injector, technician: Person) -> None:
    stripped.examine(technician)
    stripped.record(technician, "settlements/as-proposed")
    stripped.rebuild(technician)
    stripped.prove(technician, opening=PASSING["opening"])
    steps = {step["step"]: step["outcome"] for step in stripped.look(technician)["bench_runs"][0]["steps"]}
    assert [line["evaluation"] for line in steps["opening"]["uncertainty"]["lines"]] == ["B", "A"]
    assert steps["seat"]["uncertainty"] is None
