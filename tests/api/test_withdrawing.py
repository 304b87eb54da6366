"""Certificates withdrawn and replaced over the API."""

import pytest

from tests.api.callers import Injector, Json, Person, form_key
from tests.registered_fleet import PASSWORD


@pytest.fixture
def released(injector: Injector, technician: Person, manager: Person) -> Json:
    """The certificate of an injector that has left, as the API answers it."""
    injector.strip(technician)
    injector.examine(technician)
    injector.record(technician, "settlements/as-proposed")
    injector.rebuild(technician)
    injector.prove(technician)
    number = injector.record(manager, "release", password=PASSWORD)["certificate"]
    answer: Json = manager.get(f"/certificates/{number}").json()
    return answer


def ended(person: Person, injector: Injector, number: str, noun: str, **fields: str) -> tuple[int, Json]:
    """Status and answer of ending a certificate."""
    body = injector.body(person, **{"reason": "The gauge failed", "password": PASSWORD} | fields)
    answer = person.post(f"/certificates/{number}/{noun}", body)
    return answer.status_code, answer.json()


def test_a_withdrawn_certificate_says_so_to_everybody(released: Json, injector: Injector, manager: Person) -> None:
    status, answer = ended(manager, injector, released["number"], "withdrawal")
    assert status == 200
    assert answer["ended"]["reason"] == "The gauge failed"
    assert answer["ended"]["replaced_by"] == ""
    check = manager.client.get(f"/api/v1/certificates/check/{released['token']}").json()
    assert check["ended"] == answer["ended"]
    assert injector.look(manager)["held"] is not None


def test_a_replacement_is_a_certificate_of_its_own(released: Json, injector: Injector, manager: Person) -> None:
    status, answer = ended(manager, injector, released["number"], "replacement")
    assert status == 201
    old = manager.get(f"/certificates/{released['number']}").json()
    assert old["ended"]["replaced_by"] == old["superseded_by"] == answer["certificate"]
    assert manager.get(f"/certificates/{answer['certificate']}").json()["ended"] is None


@pytest.mark.parametrize("noun", ["withdrawal", "replacement"])
def test_only_a_manager_ends_a_certificate_with_password_and_reason(
    released: Json, injector: Injector, manager: Person, technician: Person, office: Person, noun: str
) -> None:
    for person in (technician, office):
        body = {"form_key": form_key(), "seen": 1, "reason": "x", "password": PASSWORD}
        assert person.post(f"/certificates/{released['number']}/{noun}", body).status_code == 403
    assert ended(manager, injector, released["number"], noun, password="another word")[0] == 422
    assert ended(manager, injector, released["number"], noun, reason=" ")[0] == 422
    assert ended(manager, injector, "RC-2026-99999", noun)[0] == 404
    assert manager.get(f"/certificates/{released['number']}").json()["ended"] is None
