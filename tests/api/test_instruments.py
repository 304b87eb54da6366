"""The register of instruments and their calibrations over JSON."""

from typing import Any

import pytest

from tests.actions.test_calibrations import PDF
from tests.api.callers import Injector, Person

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])
_GAUGE: dict[str, Any] = {
    "kind": "pressure-gauge",
    "description": "Rig 2",
    "unit": "bar",
    "lower": 0,
    "upper": "60 MPa",
    "resolution": "0,5",
    "location": "Test rig 2",
}
_CERTIFICATE: dict[str, Any] = {
    "certificate": "CAL-77",
    "laboratory": "Invented Laboratory",
    "calibrated_on": "2026-02-20",
    "due": "2027-02-20",
    "expanded_uncertainty": "0,2 MPa",
    "found": "within-limits",
    "points": [{"nominal": 300, "error": "-0.5"}],
}


@pytest.fixture
def stripped(injector: Injector, technician: Person) -> Injector:
    """An injector that is taken apart."""
    injector.strip(technician)
    return injector


def test_an_instrument_keeps_its_range_in_its_own_unit(manager: Person) -> None:
    added = manager.post("/instruments", {**_GAUGE, "code": "gauge-2"})
    assert added.status_code == 201, added.text
    body = added.json()
    assert (body["code"], body["lower"], body["upper"], body["resolution"]) == ("GAUGE-2", "0", "600", "0.5")
    assert (body["standing"], body["calibration"], body["due"]) == ("none", None, None)
    moved = manager.put("/instruments/GAUGE-2", {**_GAUGE, "location": "Rig 3", "version": 1})
    assert (moved.json()["location"], moved.json()["version"]) == ("Rig 3", 2)
    assert manager.put("/instruments/GAUGE-2", {**_GAUGE, "version": 1}).status_code == 409
    assert manager.put("/instruments/NONE", {**_GAUGE, "version": 1}).status_code == 404
    assert manager.post("/instruments", {**_GAUGE, "code": "GAUGE-2"}).json()["code"] == "code-taken"
    odd = manager.post("/instruments", {**_GAUGE, "code": "G3", "unit": "furlong"})
    assert (odd.status_code, odd.json()["code"]) == (422, "unit-unknown")
    assert manager.post("/instruments", {**_GAUGE, "code": "G3", "resolution": -1}).json()["field"] == "resolution"


def test_a_calibration_is_recorded_and_stands_in_the_history(manager: Person, technician: Person) -> None:
    manager.post("/instruments", {**_GAUGE, "code": "gauge-2"})
    place = "/instruments/GAUGE-2/calibrations"
    made = manager.post(place, {**_CERTIFICATE, "version": 1})
    assert (made.status_code, made.json()["quarantined"], made.json()["version"]) == (201, False, 2)
    (one,) = technician.get(place).json()["items"]
    assert (one["expanded_uncertainty"], one["k"], one["recorded_by"]) == ("2", "2", "Mara Manager")
    assert one["points"] == [{"nominal": "300", "error": "-0.5"}]
    read = technician.get("/instruments/GAUGE-2").json()
    assert (read["standing"], read["calibration"], read["due"]) == ("in-date", "CAL-77", "2027-02-20")
    assert manager.post(place, {**_CERTIFICATE, "version": 1}).status_code == 409
    assert technician.post(place, {**_CERTIFICATE, "version": 2}).status_code == 403
    assert manager.get("/instruments/NONE/calibrations").status_code == 404


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"calibrated_on": "2026-03-03"}, "calibrated_on"),
        ({"calibrated_on": "yesterday"}, "calibrated_on"),
        ({"expanded_uncertainty": "2 mm"}, "expanded_uncertainty"),
        ({"k": "two"}, "k"),
        ({"found": "perfect"}, "found"),
        ({"points": [{"nominal": 300}]}, "points"),
        ({"points": [{"nominal": 300, "error": 1, "diameter": 1}]}, "points"),
        ({"points": [{"nominal": 300, "error": 1}, {"nominal": "300.0", "error": 2}]}, "points"),
    ],
)
def test_a_certificate_with_a_fault_names_its_field(manager: Person, change: dict[str, Any], field: str) -> None:
    refused = manager.post("/instruments/GAUGE-1/calibrations", {**_CERTIFICATE, **change, "version": 2})
    assert (refused.status_code, refused.json()["field"]) == (422, field)
    assert len(manager.get("/instruments/GAUGE-1/calibrations").json()["items"]) == 1


def test_a_set_of_pins_is_calibrated_by_diameters(manager: Person) -> None:
    pins = {"kind": "pin-set", "unit": "mm", "pins": ["0.84", "0.85", 0.88], "version": 2}
    assert manager.put("/instruments/PINS-1", pins).json()["pins"] == ["0.84", "0.85", "0.88"]
    body = {**_CERTIFICATE, "expanded_uncertainty": "1 µm", "points": [{"nominal": "0.85", "diameter": "0.8497"}]}
    assert manager.post("/instruments/PINS-1/calibrations", {**body, "version": 3}).status_code == 201
    newest = manager.get("/instruments/PINS-1/calibrations").json()["items"][0]
    assert newest["points"] == [{"nominal": "0.85", "error": "-0.0003"}]


def test_a_reading_outside_the_range_is_refused_at_entry(
    stripped: Injector, manager: Person, technician: Person
) -> None:
    body = {"kind": "micrometer", "unit": "mm", "lower": 0, "upper": 25, "version": 2}
    assert manager.put("/instruments/MIC-1", body).status_code == 200
    reading = {"characteristic": "body-seat-width", "kind": "size", "readings": ["25.1"], "instrument": "MIC-1"}
    refused = stripped.send(technician, "examinations", **reading)
    assert (refused.status_code, refused.json()["code"], refused.json()["field"]) == (
        422,
        "instrument-range",
        "instrument",
    )
    assert "0 to 25 mm" in refused.json()["detail"]


def test_a_technician_shuts_an_instrument_away_and_a_manager_releases_it(
    stripped: Injector, manager: Person, technician: Person
) -> None:
    change = {"state": "quarantined", "reason": "Dropped", "version": 2}
    shut = technician.put("/instruments/MIC-1/state", change)
    assert (shut.status_code, shut.json()["standing"], shut.json()["state_reason"]) == (200, "quarantined", "Dropped")
    reading = {"characteristic": "body-seat-width", "kind": "size", "readings": ["1.1"], "instrument": "MIC-1"}
    assert stripped.send(technician, "examinations", **reading).json()["code"] == "instrument-quarantined"
    back = {"state": "in-use", "reason": "Checked", "version": 3}
    assert technician.put("/instruments/MIC-1/state", back).status_code == 403
    assert manager.put("/instruments/MIC-1/state", {**back, "version": 2}).status_code == 409
    assert manager.put("/instruments/MIC-1/state", {**back, "reason": " "}).json()["field"] == "reason"
    assert manager.put("/instruments/MIC-1/state", back).json()["standing"] == "in-date"


def test_a_scan_is_sent_as_its_bytes_and_read_again(manager: Person, technician: Person, office: Person) -> None:
    place = "/instruments/GAUGE-1/calibrations"
    number = manager.get(place).json()["items"][0]["id"]

    def send(person: Person, content: bytes) -> Any:
        headers = {**person.headers, "Content-Type": "application/octet-stream"}
        return person.client.post(f"/api/v1{place}/{number}/scans", content=content, headers=headers)

    large = PDF[:20] + bytes(2_000_000) + PDF[20:]
    kept = send(manager, large)
    assert kept.status_code == 201, kept.text
    read = technician.get(f"{place}/{number}/scans/{kept.json()['id']}")
    assert (read.content, read.headers["content-type"]) == (large, "application/pdf")
    assert read.headers["content-disposition"].startswith("attachment")
    (scan,) = technician.get(place).json()["items"][0]["scans"]
    assert (scan["media_type"], scan["size"]) == ("application/pdf", len(large))
    assert office.get(f"{place}/{number}/scans/{scan['id']}").status_code == 403
    assert send(technician, PDF).status_code == 403
    assert send(manager, b"GIF89a").json()["code"] == "scan-kind"
    assert send(manager, bytes(11_000_000)).status_code == 413


def test_a_calibration_is_annulled_and_stays_in_the_history(manager: Person, technician: Person) -> None:
    place = "/instruments/GAUGE-1/calibrations"
    number = manager.post(place, {**_CERTIFICATE, "version": 2}).json()["id"]
    assert manager.get(place).json()["items"][0]["annulled"] is None
    body = {"reason": "Of another gauge", "version": 3}
    assert technician.post(f"{place}/{number}/annulment", body).status_code == 403
    refused = manager.post(f"{place}/{number}/annulment", {**body, "reason": ""})
    assert (refused.status_code, refused.json()["field"]) == (422, "reason")
    made = manager.post(f"{place}/{number}/annulment", body)
    assert (made.status_code, made.json()) == (201, {"quarantined": False, "version": 4})
    newest = technician.get(place).json()["items"][0]
    annulled = {"reason": "Of another gauge", "at": "2026-03-02T08:00:00Z", "by": "Mara Manager"}
    assert (newest["id"], newest["annulled"]) == (number, annulled)
    assert technician.get("/instruments/GAUGE-1").json()["calibration"] == "CAL-GAUGE-1"
    assert manager.post(f"{place}/{number}/annulment", {**body, "version": 4}).json()["code"] == "annulled"
    assert manager.post(f"{place}/99999/annulment", {**body, "version": 4}).status_code == 404
