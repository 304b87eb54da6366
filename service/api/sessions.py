"""Signing in and out."""

from typing import Annotated

from fastapi import APIRouter, Depends
from fastapi.security import HTTPAuthorizationCredentials
from pydantic import Field

from service.actions.accounts import sign_in, sign_out
from service.actions.shop import Actor, Shop
from service.api.bodies import Answer, Body, Name
from service.api.description import problems
from service.api.exact_json import ExactRoute
from service.api.guards import Caller, TheShop, bearer
from service.workshop.vocabulary import Role

router = APIRouter(prefix="/sessions", tags=["sessions"], route_class=ExactRoute)


class SignInBody(Body):
    """Login and password."""

    login: Name
    password: Annotated[str, Field(max_length=1000)]


class PersonAnswer(Answer):
    """Who is signed in."""

    name: str
    role: Role


class SessionAnswer(Answer):
    """The token goes into the header `Authorization: Bearer …` of every other request."""

    token: str
    person: PersonAnswer
    expires_in_hours: int


@router.post("", status_code=201, operation_id="sign_in", responses=problems(413, 422, 429))
def open_session(body: SignInBody, shop: Shop = TheShop) -> SessionAnswer:
    """Sign in."""
    signed = sign_in(shop, login=body.login, password=body.password)
    person = PersonAnswer.model_validate(signed.actor)
    return SessionAnswer(token=signed.token, person=person, expires_in_hours=shop.session_hours)


@router.delete("/current", status_code=204, operation_id="sign_out", responses=problems(401))
def close_session(
    actor: Actor = Caller,
    credentials: HTTPAuthorizationCredentials = Depends(bearer),
    shop: Shop = TheShop,
) -> None:
    """End the sign-in for good."""
    sign_out(shop, credentials.credentials)
