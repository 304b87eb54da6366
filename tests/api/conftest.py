"""The composed application over the registered workshop, and its people signed in over the API."""

import secrets
import warnings
from collections.abc import Callable, Iterator
from datetime import timedelta

import pytest
from fastapi import FastAPI
from pydantic import SecretStr

from service.actions.accounts import token_hash
from service.actions.shop import Actor
from service.records.store import Store
from service.records.tables import SignIn
from service.settings import Settings
from tests.api.callers import Injector, Person, received
from tests.application import application
from tests.registered_fleet import PASSWORD, Clock, Fleet
from tests.signing_keys import KEY_PASSWORD, key_file

with warnings.catch_warnings():  # it asks for a successor of httpx that this project does not use
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

HOURS = timedelta(hours=12)


@pytest.fixture
def app(registered_store: Store, clock: Clock) -> FastAPI:
    """The application as it is served."""
    settings = Settings(
        database_url=registered_store.url,
        workshop_name="Invented Injector Works",
        workshop_address="Quay 1, Nowhere",
        signing_key=key_file(),
        signing_password=SecretStr(KEY_PASSWORD),
    )
    return application(settings, clock)


@pytest.fixture
def client(app: FastAPI) -> Iterator[TestClient]:
    """A client without a token."""
    with TestClient(app) as client:
        yield client


@pytest.fixture
def sign_in(client: TestClient) -> Callable[[str], Person]:
    """Sign in by login; everybody's password is the same here."""

    def signed_in(login: str) -> Person:
        answer = client.post("/api/v1/sessions", json={"login": login, "password": PASSWORD})
        assert answer.status_code == 201, answer.text
        return Person(client, answer.json()["token"], answer.json()["person"]["name"])

    return signed_in


@pytest.fixture
def seat(client: TestClient, registered_store: Store, clock: Clock) -> Callable[[Actor], Person]:
    """A sign-in as its row: checking the password takes its time by design, and is tested where people sign in."""

    def seated(actor: Actor) -> Person:
        token, now = secrets.token_urlsafe(32), clock()
        with registered_store.change() as session:
            row = SignIn(
                person_id=actor.person_id, token_hash=token_hash(token), created_at=now, expires_at=now + HOURS
            )
            session.add(row)
        return Person(client, token, actor.name)

    return seated


@pytest.fixture
def technician(seat: Callable[[Actor], Person], fleet: Fleet) -> Person:
    """At the bench."""
    return seat(fleet.technician)


@pytest.fixture
def manager(seat: Callable[[Actor], Person], fleet: Fleet) -> Person:
    """Who signs."""
    return seat(fleet.manager)


@pytest.fixture
def office(seat: Callable[[Actor], Person], fleet: Fleet) -> Person:
    """The office of the vessel's operator."""
    return seat(fleet.office)


@pytest.fixture
def other_office(seat: Callable[[Actor], Person], fleet: Fleet) -> Person:
    """The office of another operator."""
    return seat(fleet.other_office)


@pytest.fixture
def injector(technician: Person, fleet: Fleet) -> Injector:
    """One injector just received."""
    return received(technician, fleet.imo, fleet.engine_id, "SN-1001")[0]


@pytest.fixture
def proved(injector: Injector, technician: Person) -> Injector:
    """Ready to sign: nothing was wrong with it."""
    injector.strip(technician)
    injector.examine(technician)
    injector.record(technician, "settlements/as-proposed")
    injector.rebuild(technician)
    injector.prove(technician)
    return injector
