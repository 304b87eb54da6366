"""Certificates: the stored file for those who may see the fleet, and the check that the QR code leads to."""

import hashlib
import hmac
import re
from dataclasses import dataclass

from fastapi import APIRouter, Depends, Request
from fastapi.responses import Response

from service.actions.shop import Actor, NotFound, Refused
from service.documents.signing.keyring import Keyring
from service.documents.signing.refusal import KeysRefused
from service.documents.signing.verification import Standing, examine_file
from service.metrology.errors import DomainError
from service.pages.guards import SignedIn, maybe_actor, renderer_of, shop_of
from service.pages.overhauls.small_forms import Fact
from service.pages.rendering import FormState, Frame, day, new_form_key
from service.pages.typed_forms import Typed, TypedForm
from service.records.certificate_reads import (
    IssuedCertificate,
    certificate_by_number,
    certificate_by_token,
    certificate_bytes,
)
from service.workshop.wording import as_sentence

router = APIRouter()
UPLOAD_PATHS = re.compile(r"/certificates/[^/]+/comparisons")
UPLOAD_LIMIT_BYTES = 10_000_000
"""A certificate with its plots is well below."""
_SIGNATURES = {
    Standing.GENUINE: "Signature valid",
    Standing.ALTERED: "Signature broken",
    Standing.UNSIGNED: "No signature",
    Standing.FOREIGN: "Signature of somebody else",
    Standing.REVOKED: "Signature of a revoked key",
    Standing.NO_PDF: "No PDF",
}
_UNKNOWN = "There is no such certificate."


@dataclass(frozen=True)
class Answer:
    """A plain answer with its mark."""

    mark: str
    label: str
    sentence: str


@dataclass(frozen=True)
class CheckPage:
    """Whether the certificate is genuine and current; `compared` answers an uploaded file."""

    page: Frame
    number: str
    standing: Answer
    facts: tuple[Fact, ...]
    compared: Answer | None
    signature: Answer | None
    form: FormState
    form_key: str
    action: str


@router.get("/certificates/{number}.pdf")
def certificate_file(request: Request, number: str, actor: Actor = SignedIn) -> Response:
    """The bytes as issued. Another fleet's certificate answers exactly as an unknown one."""
    with shop_of(request).store.reading() as session:
        issued = certificate_by_number(session, number)
        content = certificate_bytes(session, number) if issued and actor.may_see(issued.operator_id) else None
    if issued is None or content is None:
        raise NotFound("no-certificate", _UNKNOWN)
    disposition = f'inline; filename="{issued.number}.pdf"'
    return Response(content, media_type="application/pdf", headers={"Content-Disposition": disposition})


@router.get("/certificates/{token}")
def check_certificate(request: Request, token: str, actor: Actor | None = Depends(maybe_actor)) -> Response:
    """Whether the certificate is genuine and current: for whoever holds it, without signing in."""
    return _page(request, token, actor, None, None, FormState())


@router.post("/certificates/{token}/comparisons")
def compare_file(
    request: Request, token: str, actor: Actor | None = Depends(maybe_actor), typed: Typed = TypedForm
) -> Response:
    """Compare a PDF that somebody holds with the bytes as issued, by their SHA-256; the file is not kept."""
    issued = _issued(request, token)
    try:
        compared = _compared(issued, typed)
        signature = _signature(shop_of(request).keyring, typed.files["file"])
    except DomainError as error:
        return _page(request, token, actor, None, None, typed.shown(error), 422)
    return _page(request, token, actor, compared, signature, FormState())


@router.get("/workshop-certificate.pem")
def workshop_certificate(request: Request) -> Response:
    """The workshop's public certificate: with it anybody checks a file off line."""
    try:
        content = shop_of(request).keyring.trust.authority_pem
    except KeysRefused as missing:
        raise NotFound("no-keys", "This workshop has no signing key yet.") from missing
    return _pem(content, "workshop-certificate.pem")


@router.get("/revoked-keys.pem")
def revoked_list(request: Request) -> Response:
    """The workshop's list of revoked keys."""
    try:
        content = shop_of(request).keyring.trust.revoked_pem
    except KeysRefused as missing:
        raise NotFound("no-keys", "This workshop has no signing key yet.") from missing
    if not content:
        raise NotFound("no-revoked-keys", "No key of this workshop was revoked.")
    return _pem(content, "revoked-keys.pem")


def _pem(content: bytes, name: str) -> Response:
    headers = {"Content-Disposition": f'attachment; filename="{name}"'}
    return Response(content, media_type="application/x-pem-file", headers=headers)


def _compared(issued: IssuedCertificate, typed: Typed) -> Answer:
    content = typed.files.get("file", b"")
    if not content:
        raise Refused("file-missing", "Choose the PDF file that you hold.", "file")
    if hmac.compare_digest(hashlib.sha256(content).hexdigest(), issued.sha256):
        return Answer("conforms", "The same file", "Your file is byte for byte what the workshop issued.")
    return Answer(
        "does-not-conform",
        "Not the same file",
        f"Your file differs from certificate {issued.number} as issued: it was altered, saved anew by a program, "
        "or is another certificate. Ask for the file as it was sent.",
    )


def _signature(keyring: Keyring, content: bytes) -> Answer:
    """What the file's own electronic signature says, whichever file it is."""
    found = examine_file(content, keyring.trust)
    mark = "conforms" if found.standing is Standing.GENUINE else "does-not-conform"
    number = (found.facts or {}).get("certificate", {}).get("number")
    of_which = f" The file is certificate {number}." if found.standing is Standing.GENUINE and number else ""
    return Answer(mark, _SIGNATURES[found.standing], f"{found.standing.sentence}{of_which}")


def _issued(request: Request, token: str) -> IssuedCertificate:
    with shop_of(request).store.reading() as session:
        issued = certificate_by_token(session, token)
    if issued is None:
        raise NotFound("no-certificate", _UNKNOWN)
    return issued


def _page(
    request: Request,
    token: str,
    actor: Actor | None,
    compared: Answer | None,
    signature: Answer | None,
    form: FormState,
    status: int = 200,
) -> Response:
    issued, renderer = _issued(request, token), renderer_of(request)
    context = CheckPage(
        page=renderer.frame(f"Certificate {issued.number}", actor),
        number=issued.number,
        standing=_standing(issued),
        facts=(
            Fact("Number", issued.number),
            Fact("Issued", day(issued.issued_at)),
            Fact("Serial number", issued.serial),
            Fact("Injector type", f"{issued.type_code} · {issued.type_name}"),
            Fact("Vessel", f"{issued.vessel}, IMO {issued.imo_number}"),
            Fact("Signed by", issued.signed_by),
        ),
        compared=compared,
        signature=signature,
        form=form,
        form_key=new_form_key(),
        action=f"/certificates/{issued.token}/comparisons",
    )
    return renderer.page("certificates/check.html", context, status)


def _standing(issued: IssuedCertificate) -> Answer:
    """Genuine it is, since its token is known; whether it is still the last word on the injector is said as well."""
    if issued.condemned:
        return Answer(
            "does-not-conform", "Genuine, no longer current", "This injector has been condemned since: do not use it."
        )
    if issued.ended is not None:
        ended = issued.ended
        since = f"on {day(ended.at)} by {ended.by}. Reason: {as_sentence(ended.reason)}"
        if issued.withdrawn:
            later = f" Certificate {issued.superseded_by} was issued since." if issued.superseded else ""
            return Answer("does-not-conform", "Withdrawn: do not rely on it", f"It was withdrawn {since}{later}")
        later = "" if issued.superseded_by == ended.replaced_by else f" The newest is {issued.superseded_by}."
        sentence = f"{ended.replaced_by} was issued in its place {since}{later}"
        return Answer("not-proven", "Genuine, replaced", sentence)
    if issued.superseded:
        return Answer(
            "not-proven",
            "Genuine, superseded",
            f"Certificate {issued.superseded_by} was issued for this injector since: ask for that one.",
        )
    return Answer("conforms", "Genuine and current", "This workshop issued the certificate, and it stands.")
