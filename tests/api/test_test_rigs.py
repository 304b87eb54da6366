"""The test rigs over JSON: card, oil, daily check, and what a bench run says of its rig."""

from collections.abc import Callable

import pytest

from service.actions.shop import Actor
from tests.api.callers import Injector, Json, Person, form_key
from tests.registered_fleet import RIG, Clock, Fleet

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])
CARD: Json = {
    "unit": "psi",
    "gauges": ["gauge-1"],
    "line_pressure_bar": "5000 psi",
    "line_hold_s": 30,
    "line_drop_max_bar": 10,
    "oil_days": 90,
    "volume_cm3": "40,5",
}
OIL: Json = {"name": "Invented oil", "viscosity_mm2_s": 2.6, "changed_on": "2026-03-01"}
CHECK: Json = {"gauge": "GAUGE-1", "start_bar": "35 MPa", "end_bar": 349.5, "held_s": 30}


def test_a_rig_is_added_filled_checked_and_corrected(manager: Person, technician: Person) -> None:
    added = manager.post("/test-rigs", {**CARD, "code": "rig-2"})
    assert added.status_code == 201, added.text
    assert (added.json()["code"], added.json()["oil"], added.json()["checked_today"]) == ("RIG-2", None, None)
    filled = technician.post("/test-rigs/RIG-2/oil", {**OIL, "form_key": form_key()})
    assert (filled.status_code, filled.json()["oil_due"]) == (201, "2026-05-30")
    sent = {**CHECK, "form_key": form_key()}
    first, again = (technician.post("/test-rigs/RIG-2/checks", sent) for _ in range(2))
    assert (first.status_code, first.json()["good"]) == (201, True), first.text
    assert again.json() == first.json()
    assert [line["what"] for line in first.json()["lines"]] == ["Blanked line", "Test oil"]
    (listed,) = technician.get("/test-rigs/RIG-2/checks").json()["items"]
    assert (listed["start_bar"], listed["by"]) == ("350", technician.name)
    assert technician.get("/test-rigs/RIG-2/oil").json()["items"][0]["viscosity_mm2_s"] == "2.6"
    changed = manager.put("/test-rigs/RIG-2", {**CARD, "in_use": False, "version": 1})
    assert (changed.status_code, changed.json()["in_use"], changed.json()["version"]) == (200, False, 2)
    assert manager.put("/test-rigs/RIG-2", {**CARD, "version": 1}).status_code == 409
    assert [rig["code"] for rig in technician.get("/test-rigs").json()["items"]] == [RIG, "RIG-2"]


def test_a_form_key_of_an_oil_change_records_no_check(technician: Person) -> None:
    key = form_key()
    assert technician.post(f"/test-rigs/{RIG}/oil", {**OIL, "form_key": key}).status_code == 201
    refused = technician.post(f"/test-rigs/{RIG}/checks", {**CHECK, "form_key": key})
    assert (refused.status_code, refused.json()["field"]) == (422, "form_key")


@pytest.mark.parametrize(
    ("path", "body", "field"),
    [
        (f"{RIG}/checks", {**CHECK, "gauge": "MIC-1"}, "gauge"),
        (f"{RIG}/checks", {**CHECK, "end_bar": "soft"}, "end_bar"),
        (f"{RIG}/checks", {**CHECK, "forces_n": [100]}, "tester"),
        (f"{RIG}/oil", {**OIL, "viscosity_mm2_s": "2.6 N"}, "viscosity_mm2_s"),
        ("", {**CARD, "code": "R-3", "springs": 2}, "spring_lower_n"),
        ("", {**CARD, "code": "R-3", "unit": "mm"}, "unit"),
    ],
)
def test_what_cannot_be_recorded_names_its_field(manager: Person, path: str, body: Json, field: str) -> None:
    key = {"form_key": form_key()} if path else {}
    refused = manager.post(f"/test-rigs/{path}".rstrip("/"), {**body, **key})
    assert (refused.status_code, refused.json()["field"]) == (422, field), refused.text


def test_the_bench_checks_the_manager_keeps_the_cards_and_the_office_sees_no_rig(
    technician: Person, office: Person
) -> None:
    assert technician.post("/test-rigs", {**CARD, "code": "R-3"}).status_code == 403
    assert technician.put(f"/test-rigs/{RIG}", {**CARD, "version": 1}).status_code == 403
    for path in ("", f"/{RIG}", f"/{RIG}/checks", f"/{RIG}/oil"):
        assert office.get(f"/test-rigs{path}").status_code == 403, path
        assert technician.get(f"/test-rigs{path}").status_code == 200, path
    assert technician.get("/test-rigs/RIG-9/checks").status_code == 404


def test_a_run_tells_its_rig_and_why_it_is_indicative(
    injector: Injector, seat: Callable[[Actor], Person], fleet: Fleet, clock: Clock
) -> None:
    clock.advance(days=1)
    technician = seat(fleet.technician)
    started = injector.record(technician, "bench-runs", purpose="as-found", gauge="GAUGE-1")["run"]
    assert (started["rig"]["code"], started["rig"]["check_good"]) == (RIG, False)
    assert started["indicative"] == "Rig RIG-1 had not been checked on 2026-03-03."
    (run,) = injector.look(technician)["bench_runs"]
    assert (run["rig"], run["indicative"]) == (started["rig"], started["indicative"])


def test_the_recall_of_a_gauge_names_the_checks_that_rest_on_it(manager: Person) -> None:
    (listed,) = manager.get("/recalls/instruments/GAUGE-1").json()["rig_checks"]
    assert (listed["rig"], listed["by"], listed["good"]) == (RIG, "Tove Technician", True)
