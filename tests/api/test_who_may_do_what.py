"""Roles, and fleets: an office sees its own vessels' injectors, and another's exactly as if there were none."""

from typing import Any

import pytest

from tests.api.callers import SOUND, Injector, Person, crate, received
from tests.registered_fleet import PASSWORD, Fleet

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])


def test_another_fleets_injector_answers_byte_for_byte_as_an_unknown_one(
    proved: Injector, manager: Person, office: Person, other_office: Person
) -> None:
    certificate = proved.record(manager, "release", password=PASSWORD)["certificate"]
    consignment = proved.look(manager)["consignment"]
    for path, other in (
        ("/units/SN-1001", "SN-9999"),
        (f"/overhauls/{proved.number}", "OH-2026-9999"),
        (f"/consignments/{consignment}", "CN-2026-9999"),
        (f"/certificates/{certificate}", "RC-2026-99999"),
        (f"/certificates/{certificate}/pdf", "RC-2026-99999"),
    ):
        asked = path.split("/")[2]
        assert office.get(path).status_code == 200, path
        hidden, unknown = other_office.get(path), other_office.get(path.replace(asked, other))
        assert hidden.status_code == unknown.status_code == 404
        assert hidden.content == unknown.content.replace(other.encode(), asked.encode())
        differing = {"content-length", "date"}
        assert {k: v for k, v in hidden.headers.items() if k not in differing} == {
            k: v for k, v in unknown.headers.items() if k not in differing
        }


def test_an_office_answers_for_its_own_fleet_only(injector: Injector, technician: Person, other_office: Person) -> None:
    injector.strip(technician)
    body = {"form_key": "another-fleet-1", "seen": 1, "part": "nozzle", "accepted": True}
    hidden = other_office.post(f"/overhauls/{injector.number}/answers", body)
    unknown = other_office.post("/overhauls/OH-2026-9999/answers", body)
    assert hidden.status_code == unknown.status_code == 404
    assert hidden.content == unknown.content.replace(b"OH-2026-9999", injector.number.encode())


def test_lists_show_an_office_its_own_fleet(
    technician: Person, manager: Person, office: Person, other_office: Person, fleet: Fleet
) -> None:
    received(technician, fleet.imo, fleet.engine_id, "SN-1")
    received(technician, fleet.other_imo, fleet.other_engine_id, "SN-2")

    def shown(person: Person, path: str, key: str) -> list[Any]:
        return [item[key] for item in person.get(path).json()["items"]]

    for path, key, mine, theirs in (
        ("/overhauls", "serial", ["SN-1"], ["SN-2"]),
        ("/units", "serial", ["SN-1"], ["SN-2"]),
        ("/vessels", "imo_number", [fleet.imo], [fleet.other_imo]),
        ("/engines", "id", [fleet.engine_id], [fleet.other_engine_id]),
        ("/operators", "id", [fleet.operator_id], [fleet.other_operator_id]),
    ):
        assert shown(office, path, key) == mine, path
        assert shown(other_office, path, key) == theirs, path
        assert shown(manager, path, key) == mine + theirs, path
    assert shown(office, "/injector-types", "code") == ["SMALL-1"]


def test_each_record_asks_for_its_role(injector: Injector, technician: Person, manager: Person, office: Person) -> None:
    injector.strip(technician)
    bench = ("strip-records", "examinations", "settlements", "settlements/as-proposed", "reworks", "fittings")
    bench += ("torques", "disc-changes", "reopenings", "bench-runs", "bench-runs/1/steps/vent", "holds")
    manager_only = ("concessions", "hold-lifts", "returns", "condemnations", "release")
    for noun in bench:
        assert injector.send(office, noun).json()["code"] == "role", noun
        assert injector.send(technician, noun).status_code in (201, 422), noun
    for noun in manager_only:
        for person in (office, technician):
            refused = injector.send(person, noun)
            assert (refused.status_code, refused.json()["code"]) == (403, "role"), noun
        assert injector.send(manager, noun).status_code == 422, noun
    for person in (technician, manager):
        assert injector.send(person, "answers", part="nozzle", accepted=True).status_code == 403
    for path in ("/instruments", "/injector-types/SMALL-1/limit-sheets"):
        assert office.get(path).status_code == 403, path
        assert technician.get(path).status_code == 200, path
    for path in ("/operators", "/vessels", "/engines", "/injector-types", "/instruments"):
        assert technician.post(path, {}).status_code == 403, path
        assert manager.post(path, {}).status_code == 422, path


def test_a_wrong_password_signs_nobody_in_and_nothing(proved: Injector, manager: Person) -> None:
    wrong = {"login": "manager", "password": "not the word"}
    refused = manager.client.post("/api/v1/sessions", json=wrong)
    unknown = manager.client.post("/api/v1/sessions", json={**wrong, "login": "nobody"})
    assert (refused.status_code, refused.json()["field"]) == (422, "password")
    assert refused.content == unknown.content
    answer = proved.send(manager, "release", password="not the word")
    assert (answer.status_code, answer.json()["code"]) == (422, "password")
    assert proved.look(manager)["certificate"] is None


def test_a_password_tried_too_often_is_answered_with_the_seconds_to_wait(manager: Person) -> None:
    for login in ("manager", "nobody"):
        wrong = {"login": login, "password": "not the word"}
        for _ in range(10):
            assert manager.client.post("/api/v1/sessions", json=wrong).status_code == 422
        refused = manager.client.post("/api/v1/sessions", json={"login": login, "password": PASSWORD})
        assert (refused.status_code, refused.json()["code"], refused.headers["retry-after"]) == (
            429,
            "too-often",
            "900",
        )
        assert "Try again at 08:15 UTC" in refused.json()["detail"]


def test_a_sign_in_that_was_ended_opens_nothing_more(manager: Person) -> None:
    ended = manager.client.delete("/api/v1/sessions/current", headers=manager.headers)
    assert (ended.status_code, ended.content) == (204, b"")
    assert manager.get("/overhauls").status_code == 401


def test_a_hold_stops_the_technician_until_a_manager_lifts_it(
    injector: Injector, technician: Person, manager: Person
) -> None:
    injector.strip(technician)
    injector.record(technician, "holds", reason="Wrong type on the crate", password=PASSWORD)
    stopped = injector.send(technician, "examinations", characteristic="body-pin", **SOUND["body-pin"])
    assert (stopped.status_code, stopped.json()["code"]) == (422, "held")
    assert [line["number"] for line in manager.get("/overhauls", held=True).json()["items"]] == [injector.number]
    injector.record(manager, "hold-lifts", reason="Type confirmed", password=PASSWORD)
    injector.record(technician, "examinations", characteristic="body-pin", **SOUND["body-pin"])
    assert manager.get("/overhauls", held=True).json()["items"] == []


@pytest.mark.parametrize("noun", ["holds", "condemnations"])
def test_what_stops_or_scraps_an_injector_is_signed_with_the_password(
    injector: Injector, manager: Person, noun: str
) -> None:
    unsigned = injector.send(manager, noun, reason="Cracked body")
    assert (unsigned.status_code, unsigned.json()["field"]) == (422, "password")
    wrong = injector.send(manager, noun, reason="Cracked body", password="not the word")
    assert (wrong.status_code, wrong.json()["code"], wrong.json()["field"]) == (422, "password", "password")
    assert injector.look(manager)["seen"] == 0
    for _ in range(9):
        injector.send(manager, noun, reason="Cracked body", password="not the word")
    late = injector.send(manager, noun, reason="Cracked body", password=PASSWORD)
    assert (late.status_code, late.json()["code"]) == (429, "too-often")


def test_a_condemned_injector_is_never_received_again(
    injector: Injector, technician: Person, manager: Person, fleet: Fleet
) -> None:
    assert injector.record(manager, "condemnations", reason="Cracked body", password=PASSWORD)["stage"] == "condemned"
    again = technician.post("/consignments", _again(fleet))
    assert (again.status_code, again.json()["code"]) == (422, "condemned")
    assert technician.get("/units/SN-1001").json()["items"][0]["overhauls"][0]["stage"] == "condemned"


def _again(fleet: Fleet) -> dict[str, Any]:

    return crate(fleet.imo, fleet.engine_id, "SN-1001")
