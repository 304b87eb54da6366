"""The composed application over the registered workshop, and its people signed in over the API."""

import warnings
from collections.abc import Callable, Iterator

import pytest
from fastapi import FastAPI

from service.app import create_app
from service.records.store import Store
from service.settings import Settings
from tests.api.callers import Injector, Person, received
from tests.registered_fleet import PASSWORD, Clock, Fleet

with warnings.catch_warnings():  # it asks for a successor of httpx that this project does not use
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient


@pytest.fixture
def app(registered_store: Store, clock: Clock) -> FastAPI:
    """The application as it is served."""
    settings = Settings(
        database_url=registered_store.url, workshop_name="Invented Injector Works", workshop_address="Quay 1, Nowhere"
    )
    return create_app(settings, clock)


@pytest.fixture
def client(app: FastAPI) -> Iterator[TestClient]:
    """A client without a token."""
    with TestClient(app) as client:
        yield client


SignIn = Callable[[str], Person]


@pytest.fixture
def sign_in(client: TestClient) -> SignIn:
    """Sign in by login; everybody's password is the same here."""

    def signed_in(login: str) -> Person:
        answer = client.post("/api/v1/sessions", json={"login": login, "password": PASSWORD})
        assert answer.status_code == 201, answer.text
        return Person(client, answer.json()["token"], answer.json()["person"]["name"])

    return signed_in


@pytest.fixture
def technician(sign_in: SignIn) -> Person:
    """At the bench."""
    return sign_in("tech")


@pytest.fixture
def manager(sign_in: SignIn) -> Person:
    """Who signs."""
    return sign_in("manager")


@pytest.fixture
def office(sign_in: SignIn) -> Person:
    """The office of the vessel's operator."""
    return sign_in("office")


@pytest.fixture
def other_office(sign_in: SignIn) -> Person:
    """The office of another operator."""
    return sign_in("office2")


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
