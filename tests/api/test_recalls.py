"""A recall over JSON: for a manager, the same answer as the pages give. Errors and sizes are invented."""

from typing import Any

import pytest

from tests.api.callers import Injector, Person

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])
MIC, BATCHES = "/recalls/instruments/MIC-1", "/recalls/batches"


def test_every_reading_is_judged_again_with_the_error_given(proved: Injector, manager: Person) -> None:
    # The seat is 1.1 mm wide and may be 1.20; the guide reads 5.996 mm between 5.992 and 6.000 (6 h6, ISO 286-2).
    found = manager.get(MIC, error="-6 µm").json()
    items = {one["entry"]: one for one in found["items"]}
    assert (found["error"], found["readings"], found["would_change"], found["next_after"]) == ("-0.006", 2, 1, None)
    seat, guide = items["Width of the body's seat"], items["Diameter of the needle's guide"]
    assert (seat["recorded"], seat["corrected"], seat["changes"]) == ("Conforms", "Conforms", False)
    assert (guide["recorded"], guide["corrected"], guide["changes"]) == ("Conforms", "Does not conform", True)
    assert guide["injector"]["overhaul"] == proved.number
    assert guide["injector"]["certificate"] is None
    assert guide["rule_as_stored"] is True
    assert found["items"][0] == guide


def test_the_answer_comes_in_pages(proved: Injector, manager: Person) -> None:
    first = manager.get("/recalls/instruments/GAUGE-1", error=20, limit=3).json()
    rest = manager.get("/recalls/instruments/GAUGE-1", error=20, limit=100, after=first["next_after"]).json()
    assert (first["readings"], len(first["items"]), len(rest["items"]), rest["next_after"]) == (7, 3, 4, None)


def test_pins_are_given_each_with_its_diameter(proved: Injector, manager: Person) -> None:
    found = manager.get("/recalls/instruments/PINS-1", pin=["0.85=0.84", "0,88 = 0,885"]).json()
    assert found["pins"] == [{"nominal": "0.85", "diameter": "0.84"}, {"nominal": "0.88", "diameter": "0.885"}]
    assert [one["corrected"] for one in found["items"]] == ["Not proven"]


def test_a_batch_names_its_injectors(proved: Injector, manager: Person) -> None:
    fitted = manager.get(BATCHES, batch="batch-SEAL-ring").json()
    assert [one["injector"]["overhaul"] for one in fitted["items"]] == [proved.number]
    assert fitted["fittings"] == 1
    assert manager.get(BATCHES, batch="BATCH").json()["items"] == []


def test_an_error_that_grows_over_the_range_is_given_by_its_points(proved: Injector, manager: Person) -> None:
    # At 1.1 mm the error is 0.1 · 1.1 / 25 = 0.0044 mm, at 5.996 mm 0.023984 mm: the guide is 5.972 mm.
    found = manager.get(MIC, point=["25=0.1", "0 = 0"]).json()
    assert (found["error"], found["points"]) == (
        None,
        [{"nominal": "0", "error": "0"}, {"nominal": "25", "error": "0.1"}],
    )
    turned = {one["entry"]: one["corrected"] for one in found["items"]}
    assert turned == {"Width of the body's seat": "Conforms", "Diameter of the needle's guide": "Does not conform"}


@pytest.mark.parametrize(
    ("path", "params", "field"),
    [
        (MIC, {"error": "much"}, "error"),
        (MIC, {"error": "1 bar"}, "error"),
        (MIC, {"point": ["5"]}, "point"),
        (MIC, {"point": ["5=1 bar"]}, "point"),
        (MIC, {"point": ["5=0", "5=1"]}, "points"),
        (MIC, {"point": "5=0", "error": 1}, "error"),
        (MIC, {"since": "2031-01-01"}, "since"),
        (MIC, {"calibration": 99999}, "calibration"),
        (MIC, {"pin": "0.85=0.84"}, "pins"),
        ("/recalls/instruments/PINS-1", {"pin": "0.85"}, "pin"),
        (BATCHES, {"batch": " "}, "batch"),
    ],
)
def test_a_bad_question_names_its_field(manager: Person, path: str, params: dict[str, Any], field: str) -> None:
    answer = manager.get(path, **params)
    assert (answer.status_code, answer.json()["field"]) == (422, field)


def test_only_a_manager_asks(technician: Person, office: Person, manager: Person) -> None:
    for path in (MIC, f"{BATCHES}?batch=B-1"):
        assert technician.get(path).status_code == 403
        assert office.get(path).status_code == 403
    assert manager.get("/recalls/instruments/NONE-1").status_code == 404
