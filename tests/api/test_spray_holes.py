"""Spray holes over the API: brackets with the verdict, and the facts of pins that contradict each other."""

import pytest

from tests.api.callers import Injector, Json, Person, pins

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])


@pytest.fixture
def stripped(injector: Injector, technician: Person) -> Injector:
    """Ready to be examined."""
    injector.strip(technician)
    return injector


def _gauged(stripped: Injector, technician: Person, body: Json) -> Json:
    answer = stripped.send(technician, "examinations", characteristic="nozzle-holes", **body)
    assert answer.status_code == 201, answer.json()
    verdict: Json = answer.json()["verdict"]
    return verdict


def test_the_verdict_carries_each_hole_with_its_bracket(stripped: Injector, technician: Person) -> None:
    verdict = _gauged(stripped, technician, pins(3))
    first, third = verdict["nozzle"]["holes"][0], verdict["nozzle"]["holes"][2]
    assert (first["verdict"], first["lower"], first["upper"]) == ("conforms", "0.849", "0.881")
    assert (third["verdict"], third["lower"], third["upper"], third["best"]) == (
        "does-not-conform",
        "0.879",
        None,
        None,
    )
    assert (verdict["nozzle"]["spread"], verdict["nozzle"]["area"]) == (None, None)
    assert (verdict["failed_holes"], verdict["unproven_holes"]) == ([3], [])


def test_spread_and_area_are_numbers_with_their_uncertainty(stripped: Injector, technician: Person) -> None:
    nozzle = _gauged(stripped, technician, pins())["nozzle"]
    assert nozzle["calibrated"] is False
    assert nozzle["spread"]["most"] == "0.032"
    assert float(nozzle["area"]["least"]) < float(nozzle["area"]["value"]) < float(nozzle["area"]["most"])
    assert nozzle["of_nominal"] is None


def test_where_the_overhaul_stands_tells_the_same_brackets(stripped: Injector, technician: Person) -> None:
    nozzle = _gauged(stripped, technician, pins())["nozzle"]
    lines = {line["key"]: line for line in stripped.look(technician)["characteristics"]}
    assert lines["nozzle-holes"]["found"]["nozzle"] == nozzle
    assert lines["body-pin"]["found"] is None


def test_contradictory_pins_come_back_as_the_facts_of_each_hole(stripped: Injector, technician: Person) -> None:
    body = pins()
    passes = [{**one, "enters": one["enters"] and (one["hole"], one["pin"]) != (2, "0.84")} for one in body["passes"]]
    answer = stripped.send(technician, "examinations", characteristic="nozzle-holes", **{**body, "passes": passes})
    problem = answer.json()
    assert (answer.status_code, problem["code"], problem["field"]) == (422, "pins-contradict", "pins")
    (hole,) = problem["recorded"]
    assert hole["hole"] == 2
    assert hole["detail"] in problem["detail"]
    assert hole["pins"] == [
        {"pin_mm": "0.84", "diameter_mm": "0.84", "enters": False, "contradicts": True},
        {"pin_mm": "0.85", "diameter_mm": "0.85", "enters": True, "contradicts": True},
        {"pin_mm": "0.88", "diameter_mm": "0.88", "enters": False, "contradicts": False},
    ]
