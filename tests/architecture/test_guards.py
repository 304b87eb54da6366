"""Every route is listed: it turns away whoever is not signed in, or stands here as open to everybody."""

import re
import warnings
from collections.abc import Iterator, Sequence
from typing import Any

import pytest
from fastapi import FastAPI

from service.records.store import Store
from service.settings import Settings
from tests.application import application
from tests.pages.forms_on_page import ORIGIN
from tests.registered_fleet import PASSWORD

with warnings.catch_warnings():  # it asks for a successor of httpx that this project does not use
    warnings.simplefilter("ignore")
    from starlette.testclient import TestClient


@pytest.fixture
def database_kind() -> str:
    """Guards stand before the database."""
    return "sqlite"


@pytest.fixture
def app(registered_store: Store) -> FastAPI:
    """The application as it is served."""
    return application(Settings(database_url=registered_store.url))


@pytest.fixture
def client(app: FastAPI) -> Iterator[TestClient]:
    """A client that is nobody."""
    with TestClient(app, base_url=ORIGIN) as client:
        yield client


def routes_of(app: FastAPI) -> list[tuple[str, str]]:
    """Method and path of every route, the mounted folder of static files left out."""
    return [
        (method, path)
        for method, path in _walked(app.routes, "")
        if method != "HEAD" and not path.startswith("/static")
    ]


def _walked(routes: Sequence[Any], prefix: str) -> Iterator[tuple[str, str]]:
    for route in routes:
        if hasattr(route, "original_router"):  # a router that was included, asked as it is
            inner = route.include_context.prefix
            yield from _walked(route.original_router.routes, prefix + inner)
        else:
            for method in sorted(getattr(route, "methods", None) or ("MOUNT",)):
                yield method, prefix + route.path


def filled(path: str) -> str:
    """The path with a number of a row or a text in place of each name."""
    return re.sub(r"\{([^}]+)\}", lambda name: "1" if name[1].endswith(("_id", "run", "revision")) else "x", path)


FOR_EVERYBODY = {
    ("GET", "/"),
    ("GET", "/sign-in"),
    ("POST", "/sign-in"),
    ("POST", "/sign-out"),
    ("GET", "/certificates/{token}"),
    ("GET", "/workshop-certificate.pem"),
    ("GET", "/revoked-keys.pem"),
    ("POST", "/certificates/{token}/comparisons"),
    ("GET", "/instruments/due/{token}.ics"),
    ("GET", "/api/v1/openapi.json"),
    ("POST", "/api/v1/sessions"),
    ("GET", "/api/v1/certificates/check/{token}"),
}
"""Signing in and out, the API's description, and what is opened by the unguessable part of its link: the check of a
certificate and a manager's calendar."""

FOR_THE_OFFICE = {
    ("GET", "/units/{serial:path}"),
    ("GET", "/units"),
    ("GET", "/fleet"),
    ("GET", "/approvals"),
    ("POST", "/overhauls/{number}/answers"),
    ("GET", "/people/me"),
    ("POST", "/people/me/password"),
    ("GET", "/certificates/{number}.pdf"),
    ("GET", "/consignments/{number}/summary.pdf"),
    ("GET", "/overhauls/{number}/photographs"),
    ("GET", "/overhauls/{number}/photographs/{photograph_id}"),
    ("GET", "/overhauls/{number}/photographs/{photograph_id}/pictures/{size}"),
    ("DELETE", "/api/v1/sessions/current"),
    ("GET", "/api/v1/operators"),
    ("GET", "/api/v1/vessels"),
    ("GET", "/api/v1/engines"),
    ("GET", "/api/v1/injector-types"),
    ("GET", "/api/v1/consignments/{number}"),
    ("GET", "/api/v1/consignments/{number}/summary"),
    ("GET", "/api/v1/overhauls"),
    ("GET", "/api/v1/overhauls/{number}"),
    ("POST", "/api/v1/overhauls/{number}/answers"),
    ("GET", "/api/v1/overhauls/{number}/recuts"),
    ("GET", "/api/v1/overhauls/{number}/photographs"),
    ("GET", "/api/v1/overhauls/{number}/photographs/{photograph_id}/picture"),
    ("GET", "/api/v1/units"),
    ("GET", "/api/v1/units/{serial:path}"),
    ("GET", "/api/v1/opening-pressures/{serial:path}"),
    ("GET", "/api/v1/certificates/{number}"),
    ("GET", "/api/v1/certificates/{number}/pdf"),
    ("GET", "/api/v1/calculations/limits"),
    ("GET", "/api/v1/calculations/fit"),
}
"""What a ship's office may ask, each bounded to its own fleet where a fleet is meant; a new route is closed to it."""


def test_the_list_of_routes_is_whole(app: FastAPI) -> None:
    routes = set(routes_of(app))
    assert routes >= FOR_EVERYBODY | FOR_THE_OFFICE
    described = {(m.upper(), p) for p, methods in app.openapi()["paths"].items() for m in methods}
    assert {(method, path.replace(":path", "")) for method, path in routes} >= described
    assert not [route for route in routes if route[0] == "MOUNT"]


def test_every_route_turns_away_whoever_is_not_signed_in(client: TestClient) -> None:
    for method, path in routes_of(client.app):
        if (method, path) not in FOR_EVERYBODY:
            answer = client.request(method, filled(path), follow_redirects=False)
            if path.startswith("/api/"):
                assert (answer.status_code, answer.headers["www-authenticate"]) == (401, "Bearer"), f"{method} {path}"
            else:
                assert answer.status_code == 303, f"{method} {path}"
                assert answer.headers["location"].startswith("/sign-in?back=/"), f"{method} {path}"


def test_every_other_route_is_closed_to_a_ships_office(client: TestClient) -> None:
    token = client.post("/api/v1/sessions", json={"login": "office", "password": PASSWORD}).json()["token"]
    headers = {"Authorization": f"Bearer {token}", "Cookie": f"spindlebook={token}", "Origin": ORIGIN}
    for method, path in routes_of(client.app):
        if (method, path) not in FOR_EVERYBODY | FOR_THE_OFFICE:
            assert client.request(method, filled(path), headers=headers).status_code == 403, f"{method} {path}"
