"""The OpenAPI description: problems as their own media type, tags in the order of the job."""

from collections.abc import Callable
from typing import Any, cast

from fastapi import FastAPI
from pydantic import BaseModel

PROBLEM_TYPE = "application/problem+json"
_MEANINGS = {
    401: "Nobody is signed in, or the sign-in has ended.",
    403: "The person's role does not allow it.",
    404: "There is no such thing, or it is not this person's to know.",
    409: "Somebody changed the same thing in the meantime; `changes` tells what.",
    413: "The body is larger than this service takes.",
    422: "Not possible as asked; `field` names what to mend.",
    429: "The password was wrong too often; `Retry-After` says how many seconds to wait.",
}
TAGS = (
    ("sessions", "Signing in and out."),
    ("registers", "Operators, vessels, engines, injector types, instruments, test rigs."),
    ("limit sheets", "What the maker demands of an injector type, by revision."),
    ("consignments", "What arrived from one vessel."),
    ("overhauls", "One injector's way through the shop, and every record of it."),
    ("units", "One injector for life."),
    ("certificates", "Release certificates, their files and their public check."),
    ("recalls", "What a failed instrument or a bad batch reaches."),
    ("calculations", "What the judging stands on: sizes, pins, conformity, uncertainty, form, traces, check digits."),
)


class Fault(BaseModel):
    """One fault of a body."""

    field: str
    detail: str


class PassRecorded(BaseModel):
    """One pin by its mark and its calibrated diameter, and whether it contradicts another one of the hole."""

    pin_mm: str
    diameter_mm: str
    enters: bool
    contradicts: bool


class HoleRecorded(BaseModel):
    """The pins of a hole that contradict each other, smallest first, as they were recorded."""

    hole: int
    detail: str
    pins: list[PassRecorded]


class Problem(BaseModel):
    """An error as problem details (RFC 9457)."""

    type: str
    title: str
    status: int
    detail: str
    code: str
    field: str | None = None
    changes: list[str] | None = None
    faults: list[Fault] | None = None
    recorded: list[HoleRecorded] | None = None


def problems(*statuses: int) -> dict[int | str, dict[str, Any]]:
    """The declared answers for these statuses."""
    return {status: {"model": Problem, "description": _MEANINGS[status]} for status in statuses}


READS = problems(401, 403, 404, 422)
"""What may go wrong with a read."""
WRITES = problems(401, 403, 404, 409, 413, 422)
"""What may go wrong with anything that is recorded."""
SIGNED = {**WRITES, **problems(429)}
"""What may go wrong with an act that is signed with the password."""

PDF: dict[int | str, dict[str, Any]] = {
    200: {"content": {"application/pdf": {"schema": {"type": "string", "format": "binary"}}}}
}
"""What answers with a document."""


def describe(app: FastAPI) -> None:
    """Give the application its description: FastAPI would say that problems are plain JSON."""
    app.openapi_tags = [{"name": name, "description": text} for name, text in TAGS]
    app.openapi = _with_problem_type(app.openapi)  # type: ignore[method-assign]


def _with_problem_type(make: Callable[[], dict[str, Any]]) -> Callable[[], dict[str, Any]]:
    def described() -> dict[str, Any]:
        schema = make()
        for operations in schema["paths"].values():
            for operation in operations.values():
                for response in operation["responses"].values():
                    content = response.get("content", {})
                    if _is_problem(content.get("application/json")):
                        response["content"] = {PROBLEM_TYPE: content["application/json"]}
        return schema

    return described


def _is_problem(content: dict[str, Any] | None) -> bool:
    return cast(dict[str, Any], (content or {}).get("schema", {})).get("$ref") == "#/components/schemas/Problem"
