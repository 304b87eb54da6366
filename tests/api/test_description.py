"""The OpenAPI description: a client can be generated from it, and no route is open by mistake."""

import importlib
import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.dependencies.models import Dependant
from fastapi.routing import APIRoute

from service.api import ROUTERS
from service.api.guards import caller
from tests.registered_fleet import PASSWORD

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])
FOR_EVERYBODY = {("POST", "/sessions"), ("GET", "/certificates/check/{token}")}


def _operations(app: FastAPI) -> list[tuple[str, str, dict[str, Any]]]:
    paths = app.openapi()["paths"]
    return [(method, path, operation) for path, methods in paths.items() for method, operation in methods.items()]


def _guarded(dependant: Dependant) -> bool:
    return dependant.call is caller or any(_guarded(inner) for inner in dependant.dependencies)


def test_every_route_has_a_guard_but_those_for_everybody(database_kind: str) -> None:
    routes = [route for router in ROUTERS for route in router.routes]
    assert all(isinstance(route, APIRoute) for route in routes)
    open_routes = {
        (method, route.path)
        for route in routes
        if isinstance(route, APIRoute) and not _guarded(route.dependant)
        for method in route.methods
    }
    assert open_routes == FOR_EVERYBODY
    assert len(routes) > 40


def test_every_route_is_described_with_its_security(app: FastAPI) -> None:
    described = {(method.upper(), path.removeprefix("/api/v1")): op for method, path, op in _operations(app)}
    assert {place for place, operation in described.items() if "security" not in operation} == FOR_EVERYBODY
    assert app.openapi()["components"]["securitySchemes"]["HTTPBearer"]["scheme"] == "bearer"
    assert len(described) == sum(len(router.routes) for router in ROUTERS)


def test_without_a_token_every_guarded_route_asks_to_sign_in(app: FastAPI, client: Any) -> None:
    for method, path, operation in _operations(app):
        if "security" in operation:
            ids = ("operator_id", "vessel_id", "engine_id", "calibration_id", "scan_id", "photograph_id", "trace_id")
            numbers = (*ids, "revision", "run")
            address = path.format(**dict.fromkeys(numbers, 1), **_T)
            answer = client.request(method, address)
            assert answer.status_code == 401, f"{method} {path} answers {answer.status_code}"
            assert answer.headers["www-authenticate"] == "Bearer"


_T = {"code": "X", "number": "X", "serial": "X", "step": "x"}


def test_every_operation_has_a_name_of_its_own_a_tag_and_a_sentence(app: FastAPI) -> None:
    operations = _operations(app)
    names = [operation["operationId"] for _, _, operation in operations]
    assert len(set(names)) == len(names)
    assert all(name.isidentifier() and name == name.lower() for name in names)
    listed = {tag["name"] for tag in app.openapi()["tags"]}
    for _, path, operation in operations:
        assert set(operation["tags"]) <= listed, path
        assert operation["description"].endswith("."), path


PASSWORD_ASKED = {
    "sign_in",
    "sign_release",
    "put_decision_rule_in_force",
    "withdraw_certificate",
    "replace_certificate",
    "hold",
    "lift_hold",
    "decide_concession",
    "condemn",
}
"""Where a password is tried, and so may be tried too often."""


def test_every_problem_is_described_as_problem_details(app: FastAPI) -> None:
    for method, path, operation in _operations(app):
        problems = {code: answer for code, answer in operation["responses"].items() if code >= "400"}
        assert problems, path
        for answer in problems.values():
            schema = answer["content"]["application/problem+json"]["schema"]
            assert schema == {"$ref": "#/components/schemas/Problem"}, f"{method} {path}"
        if method in ("post", "put") and "security" in operation:
            assert problems.keys() - {"429"} == {"401", "403", "404", "409", "413", "422"}, path
        assert ("429" in problems) == (operation["operationId"] in PASSWORD_ASKED), path


def test_a_client_generated_from_the_description_signs_in(app: FastAPI, client: Any, tmp_path: Path) -> None:
    (tmp_path / "openapi.json").write_text(json.dumps(client.get("/api/v1/openapi.json").json()))
    (tmp_path / "config.yml").write_text(
        "content_type_overrides:\n  application/pdf: application/octet-stream\n"
        "  image/jpeg: application/octet-stream\npost_hooks: []\n"
    )
    made = subprocess.run(
        [
            *(sys.executable, "-m", "openapi_python_client", "generate", "--path", "openapi.json", "--meta", "none"),
            *("--output-path", "generated_client", "--config", "config.yml", "--fail-on-warning"),
        ],
        cwd=tmp_path,
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert made.returncode == 0, made.stdout + made.stderr
    sys.path.insert(0, str(tmp_path))
    try:
        signing_in = importlib.import_module("generated_client.api.sessions.sign_in")
        models = importlib.import_module("generated_client.models")
        for module in (tmp_path / "generated_client" / "api").glob("*/*.py"):
            importlib.import_module(f"generated_client.api.{module.parent.name}.{module.stem}")
        generated = importlib.import_module("generated_client").Client("http://testserver")
        generated.set_httpx_client(client)
        answer = signing_in.sync(client=generated, body=models.SignInBody(login="tech", password=PASSWORD))
        assert answer.person.name == "Tove Technician"
        refused = signing_in.sync(client=generated, body=models.SignInBody(login="tech", password="wrong"))
        assert isinstance(refused, models.Problem)
        assert refused.field == "password"
    finally:
        sys.path.remove(str(tmp_path))
        for name in [name for name in sys.modules if name.startswith("generated_client")]:
            del sys.modules[name]
