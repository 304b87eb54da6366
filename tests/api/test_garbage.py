"""Whatever is sent, on whichever database, the service answers with a problem and never fails."""

import json
from typing import Any

import pytest
from fastapi import FastAPI

from tests.api.callers import Injector, Person
from tests.registered_fleet import Fleet

_ODD = ("%00", "%F0%9F%94%A7", "'%3B--", "..%2F..", "%20", "9" * 50, "x" * 500)
_VALUES: tuple[Any, ...] = (
    None,
    True,
    -1,
    10**30,
    1e300,
    "",
    "a\u0000b",
    "\ud800",
    [],
    {},
    [[[]]],
    {"kind": "size"},
)


def _addresses(app: FastAPI, method: str) -> list[tuple[str, dict[str, Any]]]:
    paths = app.openapi()["paths"]
    return [(path, methods[method]) for path, methods in paths.items() if method in methods]


def test_odd_signs_in_an_address_find_nothing(app: FastAPI, manager: Person) -> None:
    for path, _ in _addresses(app, "get"):
        for odd in _ODD if "{" in path else ():
            address = path.removeprefix("/api/v1")
            for name in ("code", "number", "serial", "token", "revision"):
                address = address.replace(f"{{{name}}}", odd)
            answer = manager.get(address)
            assert answer.status_code in (404, 422), f"{address}: {answer.status_code}"


def test_odd_values_in_a_question_are_refused_or_find_nothing(
    app: FastAPI, manager: Person, injector: Injector, fleet: Fleet
) -> None:
    filled = {"code": "MIC-1", "number": injector.number, "engine_id": fleet.engine_id}
    for path, operation in _addresses(app, "get"):
        asked = [one["name"] for one in operation.get("parameters", []) if one["in"] == "query"]
        for name in asked:
            for odd in ("\u0000", "-1", "9" * 30, "🔧", "%", "1.5"):
                answer = manager.get(path.removeprefix("/api/v1").format(**filled), **{name: odd})
                assert answer.status_code in (200, 422), f"{path}?{name}={odd}: {answer.status_code}"


@pytest.mark.parametrize("database_kind", ["sqlite"])
def test_odd_values_in_a_body_are_refused_by_a_problem(
    app: FastAPI, manager: Person, office: Person, injector: Injector
) -> None:
    schemas = app.openapi()["components"]["schemas"]
    for path, operation in _addresses(app, "post"):
        if path.endswith(("/sessions", "/draft/approval")):
            continue
        content = operation["requestBody"]["content"]
        if "application/json" not in content:  # a scan comes as its own bytes
            continue
        schema = content["application/json"]["schema"]
        names = [one["$ref"] for one in schema.get("oneOf", [schema])]
        filled = {
            "number": injector.number,
            "run": 1,
            "step": "vent",
            "code": "MIC-1",
            "photograph_id": 1,
            "trace_id": 1,
            "calibration_id": 1,
        }
        address = path.removeprefix("/api/v1").format(**filled)
        for name in names:
            fields = schemas[name.rpartition("/")[2]]["properties"]
            for value in _VALUES:
                body = dict.fromkeys(fields, value) | {"form_key": "garbage-1", "seen": 0}
                if "kind" in fields:
                    body["kind"] = fields["kind"].get("const", "micrometer")
                answer = (office if path.endswith("/answers") else manager).text(
                    "POST", address, json.dumps({key: body[key] for key in fields})
                )
                assert answer.status_code in (404, 422), f"{address} {value!r}: {answer.status_code}"
                assert answer.json()["detail"], address
    assert injector.look(manager)["seen"] == 0
