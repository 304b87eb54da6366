"""Who is asking. Access is denied by default: a page without a guard is for everybody, and a test lists those."""

from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from typing import cast

from fastapi import Depends, Request
from fastapi.responses import Response

from service.actions.shop import Actor, Shop, require
from service.actions.signed_in import actor_of_token
from service.pages.rendering import Renderer
from service.workshop.vocabulary import Role


class SignInNeeded(Exception):
    """Nobody is signed in; `back` is where to go afterwards."""

    def __init__(self, back: str) -> None:
        self.back = back


def shop_of(request: Request) -> Shop:
    """The shop that the application was composed with."""
    return cast(Shop, request.app.state.shop)


def renderer_of(request: Request) -> Renderer:
    """The renderer that the application was composed with."""
    return cast(Renderer, request.app.state.renderer)


def cookie_name(shop: Shop) -> str:
    """`__Host-` binds the cookie to this host, which browsers allow only under https."""
    return "__Host-spindlebook" if shop.public_origin.startswith("https://") else "spindlebook"


async def maybe_actor(request: Request) -> Actor | None:
    """Whoever is signed in, or None."""
    shop = shop_of(request)
    token = request.cookies.get(cookie_name(shop), "")
    return await actor_of_token(shop, token) if token else None


async def signed_in(request: Request) -> Actor:
    """Anybody who is signed in."""
    actor = await maybe_actor(request)
    if actor is None:
        raise SignInNeeded(request.url.path if request.method == "GET" else "/")
    return actor


def role(*roles: Role) -> Callable[[Request], Awaitable[Actor]]:
    """A guard that lets only these roles pass."""

    async def guard(request: Request) -> Actor:
        actor = await signed_in(request)
        require(actor, *roles)
        return actor

    return guard


@dataclass(frozen=True)
class Guarded:
    """A plain route with its guard: for pages so busy that the framework's dependencies would cost too much.

    `answer` is the endpoint; the guard stays visible as `endpoint.__self__.guard`.
    """

    guard: Callable[[Request], Awaitable[Actor]]
    page: Callable[[Request, Actor], Awaitable[Response]]

    async def answer(self, request: Request) -> Response:
        """Ask the guard, then answer."""
        return await self.page(request, await self.guard(request))


SignedIn = Depends(signed_in)
AtBench = Depends(role(Role.TECHNICIAN, Role.MANAGER))
Manager = Depends(role(Role.MANAGER))
Office = Depends(role(Role.OFFICE))
