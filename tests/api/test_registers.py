"""The registers and limit sheets over JSON: pages, versions that catch a lost update, a sheet from draft to force."""

import json
from datetime import UTC, datetime
from typing import Any

import pytest

from service.records.sheet_file import sheet_to_json
from service.records.store import Store
from tests.api.callers import Person, received
from tests.registered_fleet import Fleet
from tests.small_sheet import SMALL_SHEET

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])


def test_a_list_is_walked_page_by_page(manager: Person) -> None:
    seen, after = [], 0
    while True:
        page = manager.get("/instruments", after=after, limit=3).json()
        seen += [item["code"] for item in page["items"]]
        if page["next_after"] is None:
            break
        after = page["next_after"]
    assert seen == ["MIC-1", "BORE-1", "PINS-1", "SCOPE-1", "RATE-1", "HEIGHT-1", "WRENCH-1", "GAUGE-1"]
    for wrong in ({"limit": 0}, {"limit": 201}, {"after": -1}):
        assert manager.get("/instruments", **wrong).status_code == 422


def test_overhauls_are_listed_by_stage(technician: Person, fleet: Fleet) -> None:
    first, _ = received(technician, fleet.imo, fleet.engine_id, "SN-1", "SN-2")
    first.strip(technician)
    items = technician.get("/overhauls", stage="stripped").json()["items"]
    assert [(item["serial"], item["stage"], item["vessel"]) for item in items] == [
        ("SN-1", "stripped", "Invented Star")
    ]
    assert technician.get("/overhauls", stage="lost").json()["field"] == "stage"


def test_a_serial_is_found_as_it_is_marked_and_by_how_it_starts(technician: Person, fleet: Fleet) -> None:
    received(technician, fleet.imo, fleet.engine_id, "AB 12/3", "AB-4")
    found = technician.get("/units/ab%20%2012%2F3").json()
    assert (found["serial"], len(found["items"])) == ("AB 12/3", 1)
    assert [unit["serial"] for unit in technician.get("/units", prefix="ab").json()["items"]] == ["AB 12/3", "AB-4"]
    assert technician.get("/units", prefix="AB_").json()["items"] == []


@pytest.mark.parametrize(
    ("path", "body", "change", "field"),
    [
        ("/operators", {"name": "Eastern", "standing_order": ["rework"]}, {"name": "Northern Invented Lines"}, "name"),
        (
            "/vessels",
            {"operator_id": 1, "name": "Sun", "imo_number": "IMO 9000027"},
            {"imo_number": "9000003"},
            "imo_number",
        ),
        (
            "/engines",
            {"vessel_id": 1, "designation": "Auxiliary", "cylinders": 4, "injector_type_id": 1},
            {"cylinders": 99},
            "cylinders",
        ),
    ],
)
def test_a_register_row_is_added_changed_and_guarded_by_its_version(
    manager: Person, path: str, body: dict[str, Any], change: dict[str, Any], field: str
) -> None:
    added = manager.post(path, body)
    assert added.status_code == 201, added.text
    place = f"{path}/{added.json()['id']}"
    changed = manager.put(place, {**body, "version": added.json()["version"]})
    assert (changed.status_code, changed.json()["version"]) == (200, 2)
    assert changed.json() == {**added.json(), "version": 2}
    stale = manager.put(place, {**body, "version": 1})
    assert (stale.status_code, stale.json()["code"]) == (409, "changed")
    assert stale.json()["changes"]
    refused = manager.put(place, {**body, **change, "version": 2})
    assert (refused.status_code, refused.json()["field"]) == (422, field)
    assert manager.put(f"{path}/999", {**body, "version": 1}).status_code == 404


def test_an_injector_type_is_added_and_renamed(manager: Person) -> None:
    added = manager.post("/injector-types", {"code": "new-7", "name": "New"})
    assert (added.status_code, added.json()["code"]) == (201, "NEW-7")
    renamed = manager.put("/injector-types/NEW-7", {"code": "NEW-7", "name": "Newer", "version": 1})
    assert (renamed.status_code, renamed.json()["name"]) == (200, "Newer")
    assert manager.put("/injector-types/NONE", {"code": "X", "name": "X", "version": 1}).status_code == 404


def test_a_sheet_goes_from_a_file_to_a_draft_to_being_in_force(
    manager: Person, technician: Person, registered_store: Store
) -> None:
    base = "/injector-types/SMALL-1/limit-sheets"
    file = technician.get(f"{base}/1").json()
    assert file == json.loads(sheet_to_json(SMALL_SHEET))
    file["document_revision"] = "B"
    assert technician.put(f"{base}/draft", file).status_code == 403
    draft = manager.put(f"{base}/draft", file)
    assert (draft.status_code, draft.json()["revision"], draft.json()["state"]) == (200, 2, "draft")
    manager.put(f"{base}/draft", file)
    stale = manager.post(f"{base}/draft/approval", {"version": 1})
    assert (stale.status_code, stale.json()["code"]) == (409, "changed")
    approved = manager.post(f"{base}/draft/approval", {"version": 2})
    assert (approved.status_code, approved.json()["state"], approved.json()["approved_by"]) == (
        201,
        "approved",
        "Mara Manager",
    )
    assert datetime.fromisoformat(approved.json()["approved_at"]) == datetime(2026, 3, 2, 8, tzinfo=UTC)
    states = [(one["revision"], one["state"]) for one in technician.get(base).json()["items"]]
    assert states == [(2, "approved"), (1, "superseded")]
    assert technician.get(f"{base}/3").status_code == 404


def test_a_sheet_file_with_a_fault_names_its_place_and_leaves_no_draft(manager: Person) -> None:
    base = "/injector-types/SMALL-1/limit-sheets"
    file = json.loads(sheet_to_json(SMALL_SHEET))
    for fault, place in (
        ({"format": "other/1"}, "format"),
        ({"parts": [{"key": "body"}]}, "parts.0.name"),
        ({"injector_type": "OTHER"}, "injector_type"),
        ({"mood": "good"}, "mood"),
    ):
        answer = manager.put(f"{base}/draft", {**file, **fault})
        assert (answer.status_code, answer.json()["field"]) == (422, place)
    assert [one["revision"] for one in manager.get(base).json()["items"]] == [1]
    assert manager.post(f"{base}/draft/approval", {"version": 1}).status_code == 404


def test_limits_and_fits_answer_with_the_keys_of_the_command(technician: Person) -> None:
    """25 H7 is 0 to +21 µm, 25 g6 is -7 to -20 µm: ISO 286-2:2010, tables for H and g; from memory."""
    found = technician.get("/calculations/fit", designation="25 H7/g6").json()
    assert found["hole"] == {
        "nominal_mm": 25,
        "kind": "hole",
        "upper_um": 21,
        "lower_um": 0,
        "max_mm": 25.021,
        "min_mm": 25,
        "tolerance_um": 21,
    }
    assert (found["shaft"]["upper_um"], found["shaft"]["lower_um"]) == (-7, -20)
    assert (found["clearance_max_um"], found["clearance_min_um"], found["kind"]) == (41, 7, "clearance")
    assert technician.get("/calculations/limits", designation="25 H7").json() == found["hole"]
