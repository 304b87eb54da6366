"""The application over the registered workshop, and its people in front of it."""

import warnings
from collections.abc import Callable, Iterator

import pytest
from fastapi import FastAPI
from pydantic import SecretStr

from service.actions.shop import Shop
from service.records.store import Store
from service.settings import Settings
from tests.application import application
from tests.pages.at_the_bench import Injector, received
from tests.registered_fleet import PASSWORD, Clock, Fleet
from tests.signing_keys import KEY_PASSWORD, key_file

with warnings.catch_warnings():  # it asks for a successor of httpx that this project does not use
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient

    from tests.pages.forms_on_page import ORIGIN, Visitor
    from tests.pages.sheet_editor import TYPE


@pytest.fixture
def database_kind() -> str:
    """Pages are tried on the embedded database; the whole walk of an injector runs on both."""
    return "sqlite"


@pytest.fixture
def app(registered_store: Store, clock: Clock) -> Iterator[FastAPI]:
    """The application as it is served."""
    settings = Settings(
        database_url=registered_store.url,
        workshop_name="Invented Injector Works",
        signing_key=key_file(),
        signing_password=SecretStr(KEY_PASSWORD),
    )
    app = application(settings, clock)
    with TestClient(app):
        yield app


@pytest.fixture
def visit(app: FastAPI) -> Callable[[str], Visitor]:
    """A browser signed in by login; nobody for ''."""

    def visitor(login: str) -> Visitor:
        client = TestClient(app, base_url=ORIGIN, headers={"Origin": ORIGIN})
        if login:
            answer = client.post("/sign-in", data={"login": login, "password": PASSWORD}, follow_redirects=False)
            assert answer.status_code == 303, answer.text
        return Visitor(client)

    return visitor


@pytest.fixture
def technician(visit: Callable[[str], Visitor]) -> Visitor:
    """At the bench."""
    return visit("tech")


@pytest.fixture
def manager(visit: Callable[[str], Visitor]) -> Visitor:
    """Who concedes and signs."""
    return visit("manager")


@pytest.fixture
def office(visit: Callable[[str], Visitor]) -> Visitor:
    """The office of the vessel's operator."""
    return visit("office")


@pytest.fixture
def other_office(visit: Callable[[str], Visitor]) -> Visitor:
    """The office of another operator."""
    return visit("office2")


@pytest.fixture
def passer_by(visit: Callable[[str], Visitor]) -> Visitor:
    """Somebody who is not signed in, with a certificate in hand."""
    return visit("")


@pytest.fixture
def injector(shop: Shop, fleet: Fleet) -> Injector:
    """One injector just received."""
    return received(shop, fleet)


@pytest.fixture
def editor(manager: Visitor) -> Visitor:
    """The manager with a draft of the small limit sheet, a copy of the revision in force."""
    manager.fill(TYPE, "/drafts")
    return manager
