"""Every error of the API as problem details (RFC 9457)."""

from fastapi import Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from starlette.exceptions import HTTPException

from service.actions.shop import Conflict, status_of
from service.api.guards import TokenNeeded
from service.metrology.errors import DomainError

_TITLES = {401: "Sign in", 403: "Not allowed", 404: "Not found", 409: "Changed meanwhile", 422: "Not possible"}


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
        case DomainError():
            more = {"field": error.field} if error.field else {}
            return _problem(status_of(error), error.code, error.sentence, **more)
        case HTTPException():
            return _problem(error.status_code, f"http-{error.status_code}", str(error.detail))
        case RequestValidationError():
            return _invalid(error)
        case _:
            raise error


def _invalid(error: RequestValidationError) -> JSONResponse:
    faults = [{"field": ".".join(str(step) for step in e["loc"][1:]), "detail": e["msg"]} for e in error.errors()]
    first = faults[0]
    return _problem(
        422, "invalid", f"{first['field'] or 'body'}: {first['detail']}.", field=first["field"], faults=faults
    )


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
