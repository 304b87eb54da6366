"""The release: the gate once more inside the transaction, a number, the certificate's bytes, the signature's name."""

import hashlib
import secrets
from dataclasses import dataclass

from sqlmodel import Session, select

from service.actions.accounts import check_password
from service.actions.password_trials import password_trial
from service.actions.recording import Form, append_and_journal, load_in_scope, recorded_since
from service.actions.shop import Actor, Conflict, Refused, Shop, require
from service.documents.certificate import certificate_pdf
from service.documents.certificate_header import CertificateHeader
from service.documents.signing.signer import DocumentSigner
from service.records.decision_rules import rule_in_force
from service.records.journal import journal_head
from service.records.numbering import next_number
from service.records.overhaul_store import LoadedOverhaul, entry_seq_of_form
from service.records.tables import Certificate, CertificateFile, Engine
from service.workshop.entries import Released
from service.workshop.judged_rules import rules_judged_by
from service.workshop.permitted import check_permitted
from service.workshop.vocabulary import Fuel, Packing, Role, SendReason


@dataclass(frozen=True)
class Issued:
    """The certificate's number and the unguessable part of its public link."""

    number: str
    token: str


def sign_release(shop: Shop, actor: Actor, number: str, form: Form, *, password: str) -> Issued:
    """Sign and issue, all or nothing.

    Raises NotPermitted with every blocker, WrongPassword, TooOften where it was tried too often, Conflict where
    anything at all was recorded since the manager looked, KeysRefused where the workshop has no key or cannot sign.
    """
    require(actor, Role.MANAGER)
    signer = shop.keyring.signer  # opened before the database is locked
    with password_trial(shop, actor.login), shop.store.change() as session:
        loaded = load_in_scope(session, actor, number, lock=True)
        if entry_seq_of_form(session, loaded.row, form.key) is not None:
            return _issued(session, loaded)
        check_password(session, actor, password)
        released = Released(certificate="", signed_on=shop.now().date())
        check_permitted(loaded.record, released)
        if loaded.row.last_seq > form.seen:
            raise Conflict(
                "changed",
                "Something was recorded since you opened this page. Look at it, then sign.",
                tuple(words for _, words in recorded_since(loaded.record, form.seen)),
            )
        return _issue(session, shop, actor, loaded, form, signer)


def _issue(
    session: Session, shop: Shop, actor: Actor, loaded: LoadedOverhaul, form: Form, signer: DocumentSigner
) -> Issued:
    now = shop.now()
    number, token = next_number(session, "RC", now, width=5), secrets.token_urlsafe(16)
    header = _header(session, shop, actor, loaded, number, token)
    # The record as it stands before the release entry: the certificate cannot report its own issue.
    document = certificate_pdf(header, loaded.record)
    content = signer.signed(document, now, f"Release {number}, signed by {actor.name}")
    append_and_journal(session, shop, actor, loaded, Released(certificate=number, signed_on=now.date()), form.key)
    certificate = Certificate(
        number=number,
        token=token,
        overhaul_id=loaded.row.id or 0,
        issued_at=now,
        signed_by=actor.name,
        sha256=hashlib.sha256(content).hexdigest(),
        journal_head=header.journal_head,
    )
    session.add(certificate)
    session.flush()
    session.add(CertificateFile(certificate_id=certificate.id or 0, content=content))
    return Issued(number, token)


def _header(
    session: Session, shop: Shop, actor: Actor, loaded: LoadedOverhaul, number: str, token: str
) -> CertificateHeader:
    row = loaded.row
    engine = session.get_one(Engine, row.engine_id)
    return CertificateHeader(
        number=number,
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


def _issued(session: Session, loaded: LoadedOverhaul) -> Issued:
    certificate = session.exec(select(Certificate).where(Certificate.overhaul_id == loaded.row.id)).first()
    if certificate is None:
        raise Refused("form-key", "This form was used for another record: open the page again.", "form_key")
    return Issued(certificate.number, certificate.token)
