"""The same form twice, a form that has not seen the newest record, and two managers who sign at the same moment."""

import asyncio
from collections.abc import Callable

import httpx
from fastapi import FastAPI

from service.records.store import Store
from tests.api.callers import SOUND, Injector, Person, crate, form_key, received
from tests.registered_fleet import PASSWORD, Fleet


def test_a_consignment_sent_twice_is_received_once(technician: Person, fleet: Fleet) -> None:
    body = crate(fleet.imo, fleet.engine_id, "SN-1", "SN-2")
    first, again = technician.post("/consignments", body), technician.post("/consignments", body)
    assert (first.status_code, again.status_code) == (201, 201)
    assert first.content == again.content
    assert first.headers["location"] == again.headers["location"] == f"/api/v1/consignments/{first.json()['number']}"
    assert len(technician.get("/overhauls").json()["items"]) == 2


def test_a_form_sent_twice_is_recorded_once_and_answered_alike_even_after_later_work(
    injector: Injector, technician: Person, manager: Person
) -> None:
    injector.strip(technician)
    body = injector.body(technician, characteristic="nozzle-holes", **SOUND["nozzle-holes"])
    path = f"/overhauls/{injector.number}/examinations"
    first = technician.post(path, body)
    injector.record(manager, "returns", reason="The owner wants it back")
    again = technician.post(path, body)
    assert (first.status_code, again.status_code) == (201, 201)
    assert first.content == again.content
    assert injector.look(manager)["seen"] == 3


def test_every_part_settled_as_proposed_twice_is_settled_once(injector: Injector, technician: Person) -> None:
    injector.strip(technician)
    injector.examine(technician)
    body = injector.body(technician)
    path = f"/overhauls/{injector.number}/settlements/as-proposed"
    first, again = technician.post(path, body), technician.post(path, body)
    assert first.json()["parts"] == ["body", "nozzle", "needle", "spring", "seal-ring"]
    assert first.content == again.content


def test_a_form_key_used_for_one_record_makes_no_other(
    injector: Injector, technician: Person, manager: Person, fleet: Fleet
) -> None:
    injector.strip(technician)
    body = injector.body(manager, reason="Wait for the owner", password=PASSWORD)
    assert manager.post(f"/overhauls/{injector.number}/holds", body).status_code == 201
    other = received(technician, fleet.imo, fleet.engine_id, "SN-2")[0]
    release = {"form_key": body["form_key"], "seen": 2, "password": PASSWORD}
    for path, wrong in (
        (f"/overhauls/{injector.number}/hold-lifts", body),
        (f"/overhauls/{other.number}/holds", body),
        (f"/overhauls/{injector.number}/release", release),
        (f"/overhauls/{other.number}/release", release),
    ):
        answer = manager.post(path, wrong)
        assert (answer.status_code, answer.json()["code"]) == (422, "form-key"), path
    assert injector.look(manager)["held"] == "Wait for the owner"


def test_a_form_that_has_not_seen_anothers_record_is_told_what_changed(
    injector: Injector, technician: Person, manager: Person
) -> None:
    injector.strip(technician)
    stale = injector.body(technician, characteristic="body-pin", kind="yes-no", answer=True)
    injector.record(manager, "examinations", characteristic="body-pin", kind="yes-no", answer=False)
    answer = technician.post(f"/overhauls/{injector.number}/examinations", stale)
    assert (answer.status_code, answer.json()["code"]) == (409, "changed")
    assert len(answer.json()["changes"]) == 1
    assert answer.json()["changes"][0].startswith("Mara Manager: Locating pin.")
    other = {**stale, "form_key": form_key(), "characteristic": "body-cracks", **SOUND["body-cracks"]}
    other.pop("answer")
    assert technician.post(f"/overhauls/{injector.number}/examinations", other).status_code == 201


def test_a_signature_that_has_not_seen_the_newest_record_is_refused(
    proved: Injector, technician: Person, manager: Person
) -> None:
    stale = proved.body(manager, password=PASSWORD)
    proved.record(technician, "examinations", characteristic="body-pin", kind="yes-no", answer=True)
    answer = manager.post(f"/overhauls/{proved.number}/release", stale)
    assert (answer.status_code, answer.json()["code"]) == (409, "changed")
    assert answer.json()["changes"]


def test_two_managers_who_sign_at_once_issue_one_certificate(
    app: FastAPI, proved: Injector, manager: Person, sign_in: Callable[[str], Person], registered_store: Store
) -> None:
    people = [manager, sign_in("manager2")]
    bodies = [proved.body(person, password=PASSWORD) for person in people]

    async def both() -> list[httpx.Response]:
        async with httpx.AsyncClient(transport=httpx.ASGITransport(app), base_url="http://testserver") as client:
            signing = (
                client.post(f"/api/v1/overhauls/{proved.number}/release", json=body, headers=person.headers)
                for person, body in zip(people, bodies, strict=True)
            )
            return list(await asyncio.gather(*signing))

    answers = asyncio.run(both())
    assert sorted(answer.status_code for answer in answers) == [201, 422]
    loser = next(answer for answer in answers if answer.status_code == 422)
    assert loser.json()["code"] == "over"
    assert registered_store.rows("SELECT count(*) FROM certificate")[0][0] == 1
    assert registered_store.rows("SELECT count(*) FROM entry WHERE kind = 'released'")[0][0] == 1


def test_many_who_receive_the_same_serial_at_once_open_it_once(
    app: FastAPI, technician: Person, fleet: Fleet, registered_store: Store
) -> None:
    async def all_at_once() -> list[httpx.Response]:
        async with httpx.AsyncClient(transport=httpx.ASGITransport(app), base_url="http://testserver") as client:
            receiving = (
                client.post(
                    "/api/v1/consignments",
                    json=crate(fleet.imo, fleet.engine_id, "SN-7"),
                    headers=technician.headers,
                )
                for _ in range(4)
            )
            return list(await asyncio.gather(*receiving, return_exceptions=False))

    answers = asyncio.run(all_at_once())
    assert sorted(answer.status_code for answer in answers) == [201, 422, 422, 422]
    assert registered_store.rows("SELECT count(*) FROM overhaul")[0][0] == 1
