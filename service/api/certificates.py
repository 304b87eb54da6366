"""Release certificates: what they say of themselves, the file as issued, and the public check."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Response
from pydantic import Field

from service.actions.shop import Actor, NotFound, Shop
from service.actions.withdrawing import replace_certificate, withdraw_certificate
from service.api.bodies import Answer, FormBody, InPath, Text
from service.api.description import PDF, READS, SIGNED, problems
from service.api.exact_json import ExactRoute
from service.api.guards import Caller, Manager, TheShop
from service.records.certificate_reads import (
    IssuedCertificate,
    certificate_by_number,
    certificate_by_token,
    certificate_bytes,
)

router = APIRouter(prefix="/certificates", tags=["certificates"], route_class=ExactRoute)


class EndAnswer(Answer):
    """Since when, by whom and why it is no longer in force; `replaced_by` is "" where it was withdrawn."""

    at: datetime
    by: str
    reason: str
    replaced_by: str


class EndBody(FormBody):
    """Reason and the manager's own password once more: both acts are signed."""

    reason: Text
    password: Annotated[str, Field(max_length=1000)]


class ReplacementAnswer(Answer):
    """The certificate that was issued in place of the other."""

    certificate: str
    check_url: str


class CertificateCheck(Answer):
    """What anybody may know who holds the certificate: compare it with the paper, and the file with `sha256`.

    `superseded_by`: number of the newest certificate issued for the same injector since, "" where this is the newest.
    `ended`: it was withdrawn, or replaced by the one named. `condemned`: the injector was scrapped since.
    """

    number: str
    serial: str
    injector_type: Annotated[str, Field(validation_alias="type_code")]
    vessel: str
    imo_number: str
    issued_at: datetime
    signed_by: str
    sha256: str
    superseded: bool
    superseded_by: str
    condemned: bool
    ended: EndAnswer | None


class CertificateAnswer(CertificateCheck):
    """An issued certificate; `token` is the secret part of its public link."""

    token: str


@router.get("/check/{token}", operation_id="check_certificate", responses=problems(404, 422))
def check(token: InPath, shop: Shop = TheShop) -> CertificateCheck:
    """Whether this workshop issued the certificate, by the link in its QR code."""
    with shop.store.reading() as session:
        found = certificate_by_token(session, token)
    if found is None:
        raise NotFound("no-certificate", "This workshop issued no such certificate.")
    return CertificateCheck.model_validate(found)


@router.get("/{number}", operation_id="read_certificate", responses=READS)
def read(number: InPath, actor: Actor = Caller, shop: Shop = TheShop) -> CertificateAnswer:
    """The certificate's own data."""
    return CertificateAnswer.model_validate(_seen(shop, actor, number))


@router.get("/{number}/pdf", operation_id="read_certificate_pdf", response_class=Response, responses={**READS, **PDF})
def read_pdf(number: InPath, actor: Actor = Caller, shop: Shop = TheShop) -> Response:
    """The bytes as they were issued."""
    found = _seen(shop, actor, number)
    with shop.store.reading() as session:
        content = certificate_bytes(session, found.number)
    headers = {"Content-Disposition": f'inline; filename="{found.number}.pdf"'}
    return Response(content, media_type="application/pdf", headers=headers)


@router.post("/{number}/withdrawal", operation_id="withdraw_certificate", responses=SIGNED)
def withdraw(number: InPath, body: EndBody, actor: Actor = Manager, shop: Shop = TheShop) -> CertificateAnswer:
    """Take it back for good; its injector is held again."""
    withdraw_certificate(shop, actor, number, body.form, reason=body.reason, password=body.password)
    return CertificateAnswer.model_validate(_seen(shop, actor, number))


@router.post(
    "/{number}/replacement",
    status_code=201,
    operation_id="replace_certificate",
    responses=SIGNED,
)
def replace(number: InPath, body: EndBody, actor: Actor = Manager, shop: Shop = TheShop) -> ReplacementAnswer:
    """Issue a new certificate of the same overhaul in its place, for what the register held wrongly."""
    issued = replace_certificate(shop, actor, number, body.form, reason=body.reason, password=body.password)
    return ReplacementAnswer(certificate=issued.number, check_url=f"{shop.public_origin}/certificates/{issued.token}")


def _seen(shop: Shop, actor: Actor, number: str) -> IssuedCertificate:
    with shop.store.reading() as session:
        found = certificate_by_number(session, number)
    if found is None or not actor.may_see(found.operator_id):
        raise NotFound("no-certificate", f"There is no certificate {number}.")
    return found
