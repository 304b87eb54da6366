"""Pages for what went wrong outside a form."""

from dataclasses import dataclass
from urllib.parse import quote

from fastapi import Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import Response
from starlette.exceptions import HTTPException

from service.actions.shop import status_of
from service.metrology.errors import DomainError
from service.pages.guards import SignInNeeded, maybe_actor, renderer_of
from service.pages.protection import SECURITY_HEADERS
from service.pages.rendering import Frame, see_other

_HEADINGS = {
    400: "Not understood",
    403: "Not allowed",
    404: "Not found",
    405: "Not possible",
    409: "Changed meanwhile",
    422: "Not possible",
}


@dataclass(frozen=True)
class ErrorPage:
    """What went wrong, in words, and what to do."""

    page: Frame
    heading: str
    sentence: str


async def page_for_error(request: Request, error: Exception) -> Response:
    """The page that answers an error of the domain, of HTTP, of a guard, or a path that cannot be."""
    match error:
        case SignInNeeded():
            return see_other(f"/sign-in?back={quote(error.back)}", request)
        case DomainError():
            return await _page(request, status_of(error), error.sentence)
        case HTTPException() if error.status_code != 404:
            return await _page(request, error.status_code, str(error.detail))
        case HTTPException() | RequestValidationError():
            return await _page(request, 404, "There is no such page.")
        case _:
            return _failure(request)


def _failure(request: Request) -> Response:
    """A fault of ours. Nobody is looked up: the database may be what failed."""
    renderer = renderer_of(request)
    heading = "Something went wrong here"
    sentence = "Nothing was stored. Try again; if it happens again, tell whoever runs this service what you did."
    answer = renderer.page("errors/error.html", ErrorPage(renderer.frame(heading, None), heading, sentence), 500)
    # This answer is given outside of the middleware that sets them otherwise.
    answer.headers.update(SECURITY_HEADERS)
    return answer


async def _page(request: Request, status: int, sentence: str) -> Response:
    renderer = renderer_of(request)
    heading = _HEADINGS.get(status, "Something went wrong")
    frame = renderer.frame(heading, await maybe_actor(request))
    return renderer.page("errors/error.html", ErrorPage(frame, heading, sentence), status)
