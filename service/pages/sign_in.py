"""Signing in and out, and the start page that sends each role to its place."""

from dataclasses import dataclass

from fastapi import APIRouter, Depends, Request
from fastapi.responses import Response

from service.actions.accounts import sign_in, sign_out
from service.actions.shop import Actor, status_of
from service.metrology.errors import DomainError
from service.pages.guards import cookie_name, maybe_actor, renderer_of, shop_of
from service.pages.navigation import home_of
from service.pages.rendering import FormState, Frame, see_other
from service.pages.typed_forms import Typed, TypedForm

router = APIRouter()


@dataclass(frozen=True)
class DemoLogin:
    """A login of the demo, shown on its sign-in page."""

    login: str
    password: str
    who: str


@dataclass(frozen=True)
class SignInPage:
    """The sign-in form; `demo_logins` is empty outside the demo."""

    page: Frame
    form: FormState
    back: str
    demo_logins: tuple[DemoLogin, ...]


@router.get("/")
def start(actor: Actor | None = Depends(maybe_actor)) -> Response:
    """Where the person's work is, or the sign-in page."""
    return see_other(home_of(actor.role) if actor else "/sign-in")


@router.get("/sign-in")
def show_sign_in(request: Request, back: str = "/") -> Response:
    """The sign-in form."""
    return _form(request, FormState(), back)


@router.post("/sign-in")
def do_sign_in(request: Request, typed: Typed = TypedForm) -> Response:
    """Sign in and go where the person wanted to go."""
    shop = shop_of(request)
    try:
        signed = sign_in(shop, login=typed.text("login"), password=(typed.fields.get("password") or ("",))[0])
    except DomainError as error:
        return _form(request, typed.shown(error), typed.text("back"), status_of(error))
    answer = see_other(_inside(typed.text("back")), request)
    answer.set_cookie(
        cookie_name(shop),
        signed.token,
        max_age=shop.session_hours * 3600,
        path="/",
        secure=shop.public_origin.startswith("https://"),
        httponly=True,
        samesite="lax",
    )
    return answer


@router.post("/sign-out")
def do_sign_out(request: Request) -> Response:
    """End the sign-in on the server and in the browser."""
    shop = shop_of(request)
    token = request.cookies.get(cookie_name(shop))
    if token:
        sign_out(shop, token)
    answer = see_other("/sign-in", request)
    answer.delete_cookie(cookie_name(shop), path="/")
    return answer


def _inside(back: str) -> str:
    """Only addresses of this service: an attacker's link must not lead elsewhere after signing in."""
    plain = back.startswith("/") and not back.startswith("//") and "\\" not in back and back.isprintable()
    return back if plain else "/"


def _form(request: Request, form: FormState, back: str, status: int = 200) -> Response:
    renderer = renderer_of(request)
    logins: tuple[DemoLogin, ...] = getattr(request.app.state, "demo_logins", ())
    context = SignInPage(renderer.frame("Sign in", None), form, _inside(back), logins)
    return renderer.page("sign_in/sign_in.html", context, status)
