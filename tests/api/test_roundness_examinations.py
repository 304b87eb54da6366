"""A section over the API: points or a radial trace as JSON, the verdict back, refusals as problems."""

from typing import Any

import pytest
from fastapi import FastAPI

from service.actions.shop import Shop
from tests.api.callers import Injector, Person, received
from tests.registered_fleet import Fleet, shop_over
from tests.round_sheet import FORM_TESTER, KEY, points_of, put_in_force


@pytest.fixture
def bench(app: FastAPI, fleet: Fleet, technician: Person) -> Injector:
    """An injector in parts, on the sheet with roundness."""
    shop: Shop = app.state.shop
    put_in_force(shop_over(shop.store, shop.now), fleet.manager)  # type: ignore[arg-type]
    (injector,) = received(technician, fleet.imo, fleet.engine_id, "SN-2001")
    injector.strip(technician)
    return injector


def body(**fields: Any) -> dict[str, Any]:
    points = [[f"{x:.6f}", f"{y:.6f}"] for x, y in points_of({3: 4.0}, 36)]
    return {"kind": "roundness", "points": points, "instrument": FORM_TESTER.code, **fields}


def test_points_are_judged_and_the_verdict_comes_back(technician: Person, bench: Injector) -> None:
    answer = bench.record(technician, "examinations", characteristic=KEY, **body())
    assert answer["verdict"]["verdict"] == "does-not-conform"
    again = bench.record(
        technician,
        "examinations",
        characteristic=KEY,
        **body(unit="µm", points=[[1000 * x, 1000 * y] for x, y in points_of({2: 0.5}, 36)]),
    )
    assert again["verdict"]["verdict"] == "conforms"


def test_a_trace_has_its_directions_in_degrees_whatever_the_unit_of_its_radii(
    technician: Person, bench: Injector
) -> None:
    trace = [[10 * step, "0.1181 in"] for step in range(36)]
    answer = bench.record(technician, "examinations", characteristic=KEY, **body(columns="trace", points=trace))
    assert answer["verdict"]["verdict"] == "conforms"


@pytest.mark.parametrize(
    ("changed", "code", "said"),
    [
        ({"points": []}, "points-missing", "There is no point"),
        ({"points": [["1", "0"]] * 3601}, "too-many-rows", "3\u00a0601 rows"),
        ({"points": [[step, 0] for step in range(1, 20)]}, "points-in-line", "straight line"),
        ({"points": [["1 bar", 0]]}, "unit-wrong-dimension", "does not measure the same"),
        ({"columns": "trace", "points": [[0, -3]] * 9}, "radius-not-positive", "whole radius"),
        ({"instrument": "BORE-1"}, "instrument-kind", "roundness instrument"),
    ],
)
def test_what_cannot_be_judged_is_a_problem_with_its_code(
    technician: Person, bench: Injector, changed: dict[str, Any], code: str, said: str
) -> None:
    before = bench.look(technician)["seen"]
    answer = bench.send(technician, "examinations", characteristic=KEY, **body(**changed))
    assert answer.status_code == 422
    assert answer.json()["code"] == code
    assert said in answer.text
    assert bench.look(technician)["seen"] == before


@pytest.mark.parametrize("points", [[[1]], [[1, 2, 3]], [["x", True]], "many"])
def test_points_of_another_shape_are_refused(technician: Person, bench: Injector, points: Any) -> None:
    assert bench.send(technician, "examinations", characteristic=KEY, **body(points=points)).status_code == 422


def test_the_description_tells_a_client_how_a_section_is_sent(app: FastAPI) -> None:
    schemas = app.openapi()["components"]["schemas"]
    sent = schemas["RoundnessExamination"]
    assert set(sent["required"]) >= {"kind", "points", "instrument", "characteristic"}
    assert schemas["ProfileColumns"]["enum"] == ["points", "trace"]
