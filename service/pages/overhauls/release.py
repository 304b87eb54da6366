"""The release: what is still missing, and the manager's signature."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.looking import look_at_overhaul
from service.actions.releasing import sign_release
from service.actions.shop import Actor, Refused
from service.actions.withdrawing import replace_certificate, withdraw_certificate
from service.pages.guards import AtBench, Manager, renderer_of, shop_of
from service.pages.overhauls.head import overhaul_head
from service.pages.overhauls.release_view import release_page
from service.pages.overhauls.small_forms import PageForms, Refusal, attempt
from service.pages.rendering import see_other
from service.pages.typed_forms import Typed, TypedForm
from service.records.certificate_reads import certificates_of_overhaul

router = APIRouter()


@router.get("/overhauls/{number}/release")
def show_release(request: Request, number: str, actor: Actor = AtBench) -> Response:
    """What blocks the release, what will be certified, or the certificate."""
    return _page(request, actor, number, None)


@router.post("/overhauls/{number}/release")
def sign(request: Request, number: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Sign with the password again and issue the certificate."""
    # As typed, blanks and all: a password is nobody's to trim.
    password = (typed.fields.get("password") or ("",))[0]
    refusal = attempt(
        lambda: sign_release(shop_of(request), actor, number, typed.form, password=password), "sign", typed
    )
    if refusal is None:
        return see_other(f"/overhauls/{number}/release", request)
    return _page(request, actor, number, refusal)


@router.post("/overhauls/{number}/release/withdrawal")
def withdraw(request: Request, number: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Take the certificate in force back."""
    return _ended(request, actor, number, typed, "withdraw")


@router.post("/overhauls/{number}/release/replacement")
def replace(request: Request, number: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Issue a new certificate in place of the one in force."""
    return _ended(request, actor, number, typed, "replace")


def _ended(request: Request, actor: Actor, number: str, typed: Typed, form_id: str) -> Response:
    shop = shop_of(request)
    act = withdraw_certificate if form_id == "withdraw" else replace_certificate

    def end() -> None:
        certificate = typed.text("certificate")
        if not certificate:
            raise Refused("certificate", "Open the page again: it names no certificate.")
        password = (typed.fields.get("password") or ("",))[0]
        act(shop, actor, certificate, typed.form, reason=typed.text("reason"), password=password)

    look_at_overhaul(shop, actor, number)
    refusal = attempt(end, form_id, typed)
    if refusal is None:
        return see_other(f"/overhauls/{number}/release", request)
    return _page(request, actor, number, refusal)


def _page(request: Request, actor: Actor, number: str, refusal: Refusal | None) -> Response:
    shop, renderer = shop_of(request), renderer_of(request)
    loaded = look_at_overhaul(shop, actor, number)
    with shop.store.reading() as session:
        certificates = certificates_of_overhaul(session, loaded.row.id or 0)
    forms = PageForms(loaded.record.last_seq, refusal)
    frame = renderer.frame(f"Release {loaded.unit.serial}", actor, "/board")
    context = release_page(frame, overhaul_head(loaded, "/release"), loaded, certificates, actor, forms)
    return renderer.page("overhauls/release.html", context, forms.status)
