"""Who calls: the bearer token of a sign-in."""

from collections.abc import Awaitable, Callable
from typing import cast

from fastapi import Depends, Request
from fastapi.security import HTTPAuthorizationCredentials, HTTPBearer

from service.actions.shop import Actor, Shop, require
from service.actions.signed_in import actor_of_token
from service.workshop.vocabulary import Role

bearer = HTTPBearer(auto_error=False, description="The token that POST /api/v1/sessions gives.")


class TokenNeeded(Exception):
    """No token, or one that has ended."""


def shop_of(request: Request) -> Shop:
    """The shop that the application was composed with."""
    return cast(Shop, request.app.state.shop)


async def caller(request: Request, credentials: HTTPAuthorizationCredentials | None = Depends(bearer)) -> Actor:
    """Whoever's token it is."""
    actor = await actor_of_token(shop_of(request), credentials.credentials) if credentials else None
    if actor is None:
        raise TokenNeeded
    return actor


def role(*roles: Role) -> Callable[[Actor], Awaitable[Actor]]:
    """A guard that lets only these roles pass."""

    async def guard(actor: Actor = Depends(caller)) -> Actor:
        require(actor, *roles)
        return actor

    return guard


TheShop = Depends(shop_of)
Caller = Depends(caller)
AtBench = Depends(role(Role.TECHNICIAN, Role.MANAGER))
Manager = Depends(role(Role.MANAGER))
Office = Depends(role(Role.OFFICE))
