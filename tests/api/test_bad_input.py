"""Bad input: a status, a code and the field that say what to mend, and nothing stored."""

from typing import Any

import pytest

from service.records.store import Store
from tests.api.callers import SOUND, Injector, Json, Person, crate, form_key, pins, received
from tests.registered_fleet import Clock, Fleet

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])


def _entries(store: Store) -> int:
    return int(store.rows("SELECT count(*) FROM entry")[0][0])


@pytest.fixture
def stripped(injector: Injector, technician: Person) -> Injector:
    """Ready to be examined."""
    injector.strip(technician)
    return injector


def _size(*readings: Any, instrument: str = "MIC-1", **more: Any) -> Json:
    return {"characteristic": "body-seat-width", "kind": "size", "readings": readings, "instrument": instrument, **more}


def _holes(body: Json) -> Json:
    return {"characteristic": "nozzle-holes", **body}


def _between() -> Json:
    body = pins()
    passes = [{**one, "enters": not (one["hole"] == 2 and one["pin"] == "0.84")} for one in body["passes"]]
    return _holes({**body, "passes": [{**one, "enters": one["enters"] and one["pin"] != "0.88"} for one in passes]})


def _ovality(*section: Any) -> Json:
    diameters = [section, *[["0.86", "0.86"]] * 3]
    return {"characteristic": "nozzle-ovality", "kind": "ovality", "diameters": diameters, "instrument": "BORE-1"}


@pytest.mark.parametrize(
    ("examination", "code", "field"),
    [
        (_size("1.1 bar"), "unit-wrong-dimension", "readings"),
        (_size("1.1", unit="furlong"), "unit-unknown", "readings"),
        (_size(-1.1), "magnitude-absurd", "readings"),
        (_size("NaN"), "number-unreadable", "readings"),
        (_size("1e400"), "number-out-of-range", "readings"),
        (_size("1.000,5"), "number-ambiguous", "readings"),
        (_size(), "readings-missing", "readings"),
        (_size("1.1", instrument="MIC-99"), "no-instrument", "instrument"),
        (_size("1.1", instrument="GAUGE-1"), "instrument-kind", "instrument"),
        (_ovality("9000", "9000"), "magnitude-absurd", "section-1"),
        (_ovality("9 m", "9 m"), "unit-unknown", "section-1"),
        (_ovality("0.86"), "directions-missing", "section-1"),
        (_between(), "pins-contradict", "pins"),
        (_holes(pins(holes=3)), "pin-not-tried", "hole-4"),
        (_holes(pins(holes=5)), "hole", "passes"),
        (
            {"characteristic": "needle-seat", **SOUND["needle-seat"], "magnification": 4},
            "magnification-low",
            "magnification",
        ),
        (
            {"characteristic": "needle-seat", **SOUND["needle-seat"], "findings": ["moss"]},
            "finding-unknown",
            "findings",
        ),
        ({"characteristic": "body-pin", **SOUND["body-pin"], "answer": "yes"}, "invalid", "answer"),
        ({**_size("1.1"), "kind": "guess"}, "invalid", ""),
        ({**_size("1.1"), "opinion": "fine"}, "invalid", "opinion"),
        (_size(True), "invalid", "readings.0"),
    ],
)
def test_an_examination_that_cannot_be_is_refused_by_its_field(
    stripped: Injector, technician: Person, registered_store: Store, examination: Json, code: str, field: str
) -> None:
    before = _entries(registered_store)
    answer = stripped.send(technician, "examinations", **examination)
    problem = answer.json()
    assert (answer.status_code, problem["code"], problem.get("field", "")) == (422, code, field), problem
    assert answer.headers["content-type"] == "application/problem+json"
    assert problem["type"] == f"urn:spindlebook:problem:{code}"
    assert problem["detail"].endswith(".")
    assert _entries(registered_store) == before


@pytest.mark.parametrize(
    ("literal", "code"),
    [
        ("NaN", "number-unreadable"),
        ("-Infinity", "number-unreadable"),
        ("1e999999999", "number-unreadable"),
        ("9" * 5000, "number-unreadable"),
        ("1E+25", "number-out-of-range"),
    ],
)
def test_a_number_in_json_that_nobody_measures_is_refused_by_its_field(
    stripped: Injector, technician: Person, literal: str, code: str
) -> None:
    body = (
        f'{{"kind": "size", "form_key": "{form_key()}", "seen": 1, "characteristic": "body-seat-width", '
        f'"instrument": "MIC-1", "readings": [{literal}]}}'
    )
    answer = technician.text("POST", f"/overhauls/{stripped.number}/examinations", body)
    assert (answer.status_code, answer.json()["code"], answer.json()["field"]) == (422, code, "readings")


def test_a_number_in_json_is_kept_digit_for_digit(stripped: Injector, technician: Person) -> None:
    body = (
        f'{{"kind": "size", "form_key": "{form_key()}", "seen": 1, "characteristic": "body-seat-width", '
        f'"instrument": "MIC-1", "readings": [1.10000000000000000000001]}}'
    )
    answer = technician.text("POST", f"/overhauls/{stripped.number}/examinations", body)
    assert answer.json()["verdict"]["value"] == "1.10000000000000000000001 mm"


@pytest.mark.parametrize(
    ("change", "status", "code", "field"),
    [
        ({"imo_number": "9000004"}, 422, "imo-check-digit-wrong", "imo_number"),
        ({"imo_number": "12"}, 422, "imo-number-unreadable", "imo_number"),
        ({"imo_number": "9074729"}, 404, "no-vessel", "imo_number"),
        ({"due_on": "2026-03-01"}, 422, "due-past", "due_on"),
        ({"due_on": "soon"}, 422, "invalid", "due_on"),
        ({"form_key": "short"}, 422, "invalid", "form_key"),
        ({"injectors": []}, 422, "no-injector", "injectors.0.serial"),
        ({"serial": "SN_1;"}, 422, "serial", "injectors.1.serial"),
        ({"serial": "SN-1"}, 422, "serial-twice", "injectors.1.serial"),
        ({"cylinder": 7}, 422, "cylinder", "injectors.1.cylinder"),
        ({"running_hours": -1}, 422, "hours", "injectors.1.running_hours"),
        ({"running_hours": 900_000}, 422, "hours", "injectors.1.running_hours"),
        ({"engine_id": 999}, 422, "no-engine", "injectors.1.engine_id"),
        ({"fuel": "coal"}, 422, "invalid", "injectors.1.fuel"),
        ({"remark": "a\u0000b"}, 422, "invalid", "injectors.1.remark"),
    ],
)
def test_a_consignment_with_one_fault_opens_nothing(
    technician: Person, registered_store: Store, fleet: Fleet, change: Json, status: int, code: str, field: str
) -> None:
    body = crate(fleet.imo, fleet.engine_id, "SN-1", "SN-2")
    target = body if change.keys() <= body.keys() else body["injectors"][1]
    target.update(change)
    answer = technician.post("/consignments", body)
    problem = answer.json()
    assert (answer.status_code, problem["code"], problem["field"]) == (status, code, field), problem
    assert registered_store.rows("SELECT count(*) FROM overhaul")[0][0] == 0
    assert registered_store.rows("SELECT count(*) FROM consignment")[0][0] == 0


def test_an_unknown_overhaul_serial_consignment_and_certificate_are_not_found(technician: Person) -> None:
    for path in ("/overhauls/OH-2026-0404", "/units/NOBODY", "/units/;", "/consignments/CN-1", "/certificates/RC-1"):
        answer = technician.get(path)
        assert answer.status_code == 404, path
        assert answer.json()["status"] == 404
    assert technician.get("/nothing-here").json()["code"] == "http-404"


@pytest.mark.parametrize(
    ("designation", "code"),
    [
        ("25 I7", "class-letter-not-defined"),
        ("25", "designation-unreadable"),
        ("900 H7", "nominal-size-outside-table"),
        ("60 cd7", "class-not-defined"),
    ],
)
def test_a_designation_that_iso_286_does_not_define_is_refused(technician: Person, designation: str, code: str) -> None:
    answer = technician.get("/calculations/limits", designation=designation)
    problem = answer.json()
    assert (answer.status_code, problem["code"], problem["field"]) == (422, code, "designation")


def test_a_body_of_20_megabytes_is_refused_before_it_is_read(stripped: Injector, technician: Person) -> None:
    path = f"/api/v1/overhauls/{stripped.number}/examinations"
    body = b'{"remark": "' + b"x" * 20_000_000 + b'"}'
    whole = technician.client.post(path, content=body, headers=technician.headers)
    assert whole.status_code == 413
    assert stripped.look(technician)["seen"] == 1


def test_a_body_of_20_megabytes_without_a_length_is_refused_while_it_comes(
    stripped: Injector, technician: Person
) -> None:
    path = f"/api/v1/overhauls/{stripped.number}/examinations"
    headers = {**technician.headers, "Content-Type": "application/json"}
    streamed = technician.client.post(path, content=iter([b'"' + b"x" * 1_000_000] * 20), headers=headers)
    assert streamed.status_code == 413
    assert stripped.look(technician)["seen"] == 1


def test_an_instrument_past_its_calibration_measures_nothing(
    stripped: Injector, technician: Person, clock: Clock, client: Any, sign_in: Any
) -> None:
    clock.advance(days=400)
    late = sign_in("tech")
    answer = stripped.send(late, "examinations", **_size("1.1"))
    assert (answer.status_code, answer.json()["code"], answer.json()["field"]) == (422, "calibration-due", "instrument")


def test_what_is_no_json_is_refused(technician: Person, fleet: Fleet) -> None:
    received(technician, fleet.imo, fleet.engine_id, "SN-5")
    for body in ("{", b"\xff\xfe", "[" * 100_000, '"text"', "{}"):
        answer = technician.text("POST", "/consignments", body)
        assert (answer.status_code, answer.json()["code"]) == (422, "invalid"), body[:10]
