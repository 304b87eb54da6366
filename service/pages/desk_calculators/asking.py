"""How a calculator is asked by its address, and what its answer has in common with the others."""

from fastapi import Request

from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.pages.guards import renderer_of
from service.pages.refused_form import status_of_form
from service.pages.rendering import Frame
from service.pages.typed_forms import Typed

PLACE = "/calculators"


def asked(request: Request) -> Typed:
    """What the address asks, as if it were a form that was sent; no field when the page is only opened."""
    query = request.query_params
    return Typed({name: tuple(query.getlist(name)) for name in query}, {})


def kept_address(request: Request, error: DomainError | None) -> str:
    """The address that asks the same again, '' when there is no answer to keep."""
    return f"{request.url.path}?{request.url.query}" if request.url.query and error is None else ""


def frame_of(request: Request, title: str, actor: Actor) -> Frame:
    """The frame of one calculator."""
    return renderer_of(request).frame(title, actor, PLACE)


def status_of_answer(error: DomainError | None) -> int:
    """200, or 422 when something typed has no answer."""
    return 200 if error is None else status_of_form(error)
