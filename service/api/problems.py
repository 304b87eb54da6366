"""Every error of the API as problem details (RFC 9457)."""

import math

from fastapi import Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from service.actions.shop import Conflict, TooOften, status_of
from service.api.guards import TokenNeeded
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import plain
from service.workshop.examination.pins_tried import HoleRecorded, PinsContradict

_TITLES = {
    401: "Sign in",
    403: "Not allowed",
    404: "Not found",
    405: "Not possible",
    409: "Changed meanwhile",
    413: "Too large",
    422: "Not possible",
    429: "Tried too often",
}


async def problem_for_error(request: Request, error: Exception) -> JSONResponse:
    """The problem that answers an error of the domain, of HTTP, of a guard, or of validation."""
    match error:
        case TokenNeeded():
            sentence = "Sign in: POST /api/v1/sessions, then send the token as a bearer token."
            answer = _problem(401, "sign-in", sentence)
            answer.headers["WWW-Authenticate"] = "Bearer"
            return answer
        case Conflict():
            return _problem(409, error.code, error.sentence, changes=list(error.changes))
        case TooOften():
            answer = _problem(429, error.code, error.sentence, field=error.field)
            answer.headers["Retry-After"] = str(math.ceil(error.wait.total_seconds()))
            return answer
        case PinsContradict():
            recorded = [_recorded(hole) for hole in error.holes]
            return _problem(status_of(error), error.code, error.sentence, field=error.field, recorded=recorded)
        case DomainError():
            more = {"field": error.field} if error.field else {}
            return _problem(status_of(error), error.code, error.sentence, **more)
        case HTTPException():
            return _problem(error.status_code, f"http-{error.status_code}", str(error.detail))
        case RequestValidationError():
            return _invalid(error)
        case _:
            return _problem(500, "failure", "A fault of this service. Nothing was stored; try again.")


def _recorded(hole: HoleRecorded) -> dict[str, object]:
    """The pins of one hole as they were recorded, smallest first; decimals as text, in mm."""
    pins = [
        {
            "pin_mm": plain(one.pin.marked_mm),
            "diameter_mm": plain(one.pin.diameter_mm),
            "enters": one.enters,
            "contradicts": one.contradicts,
        }
        for one in hole.passes
    ]
    return {"hole": hole.hole, "detail": hole.sentence, "pins": pins}


def _invalid(error: RequestValidationError) -> JSONResponse:
    faults = [{"field": _field(e["loc"], error.body), "detail": e["msg"]} for e in error.errors()]
    first = faults[0]
    return _problem(
        422, "invalid", f"{first['field'] or 'body'}: {first['detail']}.", field=first["field"], faults=faults
    )


def _field(place: tuple[str | int, ...], body: object) -> str:
    """The field as the caller wrote it: Pydantic puts the kind of a body that has kinds among the steps to it."""
    steps, here, tagged = [], body, False
    for step in place[1:]:
        if isinstance(here, dict) and not tagged and here.get("kind") == step:
            tagged = True
            continue
        steps.append(str(step))
        here = here.get(step) if isinstance(here, dict) else None
        tagged = False
    return ".".join(steps)


def _problem(status: int, code: str, sentence: str, **more: object) -> JSONResponse:
    body = {
        "type": f"urn:spindlebook:problem:{code}",
        "title": _TITLES.get(status, "Problem"),
        "status": status,
        "detail": sentence,
        "code": code,
        **more,
    }
    return JSONResponse(body, status, media_type="application/problem+json")
