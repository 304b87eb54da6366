"""Issuing one certificate in the caller's transaction: number, signed bytes, entry and journal row."""

import hashlib
import secrets
from dataclasses import dataclass

from sqlmodel import Session, select

from service.actions.recording import append_and_journal
from service.actions.shop import Actor, Refused, Shop
from service.actions.traces_on_certificates import AnalysedForCertificate
from service.documents.certificate import certificate_pdf
from service.documents.certificate_header import CertificateHeader
from service.documents.signing.signer import DocumentSigner
from service.records.decision_rules import rule_in_force
from service.records.journal import journal_head
from service.records.numbering import next_number
from service.records.overhaul_store import LoadedOverhaul
from service.records.tables import Certificate, CertificateFile, Engine
from service.workshop.entries import Released
from service.workshop.judged_rules import rules_judged_by
from service.workshop.vocabulary import Fuel, Packing, SendReason


@dataclass(frozen=True)
class Issued:
    """The certificate's number and the unguessable part of its public link."""

    number: str
    token: str


def next_certificate(session: Session, shop: Shop) -> str:
    """The number of the next certificate, taken in this transaction."""
    return next_number(session, "RC", shop.now(), width=5)


def issue(
    session: Session,
    shop: Shop,
    actor: Actor,
    loaded: LoadedOverhaul,
    released: Released,
    form_key: str,
    signer: DocumentSigner,
    analysed: AnalysedForCertificate,
) -> Issued:
    """Issue the certificate that `released` names, its checks passed, with the traces analysed before.

    Raises SigningFailed, or Conflict where a trace was changed meanwhile: nothing is stored.
    """
    now, number, token = shop.now(), released.certificate, secrets.token_urlsafe(16)
    header = _header(session, shop, actor, loaded, released, token)
    # The record as it stands before the release entry: the certificate cannot report its own issue.
    document = certificate_pdf(header, loaded.record, shop.letterhead, analysed.still_kept(session, loaded))
    content = signer.signed(document, now, f"Release {number}, signed by {actor.name}")
    append_and_journal(session, shop, actor, loaded, released, form_key, signed=True)
    certificate = Certificate(
        number=number,
        token=token,
        overhaul_id=loaded.row.id or 0,
        issued_at=now,
        signed_by=actor.name,
        sha256=hashlib.sha256(content).hexdigest(),
        vessel_name=header.vessel_name,
        imo_number=header.imo_number,
        type_name=header.injector_type_name,
        journal_head=header.journal_head,
    )
    session.add(certificate)
    session.flush()
    session.add(CertificateFile(certificate_id=certificate.id or 0, content=content))
    return Issued(number, token)


def issued_by_form(session: Session, number: str) -> Issued:
    """What the same form has issued already: a second submission gets the first one's answer."""
    certificate = session.exec(select(Certificate).where(Certificate.number == number)).first()
    if certificate is None:
        raise Refused("form-key", "This form was used for another record: open the page again.", "form_key")
    return Issued(certificate.number, certificate.token)


def _header(
    session: Session, shop: Shop, actor: Actor, loaded: LoadedOverhaul, released: Released, token: str
) -> CertificateHeader:
    row = loaded.row
    engine = session.get_one(Engine, row.engine_id)
    return CertificateHeader(
        number=released.certificate,
        replaces=released.replaces,
        replaces_because=released.reason,
        issued_at=shop.now(),
        signed_by=actor.name,
        workshop_name=shop.name,
        workshop_address=shop.address,
        operator_name=loaded.operator.name,
        vessel_name=loaded.vessel.name,
        imo_number=loaded.vessel.imo_number,
        engine=engine.designation,
        cylinder=row.cylinder,
        position=row.position,
        injector_type=loaded.injector_type.code,
        injector_type_name=loaded.injector_type.name,
        serial=loaded.unit.serial,
        overhaul_number=row.number,
        consignment_number=loaded.consignment.number,
        received_at=loaded.consignment.received_at,
        running_hours=row.running_hours,
        fuel=Fuel(row.fuel).label,
        reason=SendReason(row.reason).label,
        packing=Packing(row.packing).label,
        remark=row.remark,
        sheet_revision=loaded.sheet.revision,
        check_url=f"{shop.public_origin}/certificates/{token}",
        decision_rule="; ".join(rules_judged_by(loaded.record)) or rule_in_force(session).text,
        demo=shop.demo,
        journal_head=journal_head(session).hash,
    )
