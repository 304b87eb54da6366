"""Ending a certificate's force: withdrawn, or replaced by a corrected one. The certificate itself is never edited.

Both are signed acts of a manager, with reason and password, and everybody with the link sees them at once.
"""

from dataclasses import replace

from sqlmodel import Session, select

from service.actions.issuing import Issued, issue, issued_by_form, next_certificate
from service.actions.recording import Form, append_and_journal, load_in_scope
from service.actions.shop import Actor, NotFound, Refused, Shop, require
from service.actions.signed_acts import signed_change
from service.actions.traces_on_certificates import analyse_for_certificate
from service.records.journal import append_journal
from service.records.overhaul_store import LoadedOverhaul, entry_seq_of_form
from service.records.tables import Certificate, CertificateEnd, Overhaul
from service.workshop.entries import CertificateWithdrawn, Held, Released
from service.workshop.permitted import check_permitted
from service.workshop.vocabulary import Role


def withdraw_certificate(shop: Shop, actor: Actor, certificate: str, form: Form, *, reason: str, password: str) -> None:
    """Take a certificate back for good. Its injector is held again: here, or where it is in the shop by now.

    Raises NotFound, Refused without a reason or for one that has ended, WrongPassword, TooOften.
    """
    require(actor, Role.MANAGER)
    with signed_change(shop, actor, password) as session:
        row, loaded = _in_force(session, actor, certificate, form)
        if loaded is None:
            return
        why = _reason(reason)
        _end(session, shop, actor, row, loaded, why, "")
        elsewhere = _other_open(session, loaded)
        if elsewhere is None and loaded.record.last_certificate == certificate:
            withdrawn = CertificateWithdrawn(certificate=certificate, reason=why)
            check_permitted(loaded.record, withdrawn)
            append_and_journal(session, shop, actor, loaded, withdrawn, form.key, signed=True)
        elif elsewhere is not None:
            because = f"Certificate {certificate} of overhaul {loaded.row.number} was withdrawn: {why}"
            _hold_where_it_is(session, shop, actor, elsewhere, because, form.key)


def replace_certificate(
    shop: Shop, actor: Actor, certificate: str, form: Form, *, reason: str, password: str
) -> Issued:
    """Issue a new certificate of the same overhaul in place of the one in force, which names it from then on.

    For what the register held wrongly; what was measured or done wrongly is withdrawn and mended. Raises as
    `withdraw_certificate` does, and KeysRefused where nothing can be signed.
    """
    require(actor, Role.MANAGER)
    signer = shop.keyring.signer
    with shop.store.reading() as session:
        _, number = _named(session, certificate)
    analysed = analyse_for_certificate(shop, actor, number)
    with signed_change(shop, actor, password) as session:
        row, loaded = _in_force(session, actor, certificate, form)
        if loaded is None:
            return issued_by_form(session, _replaced_by(session, certificate))
        why, today = _reason(reason), shop.today
        released = Released(certificate="", signed_on=today, replaces=certificate, reason=why)
        check_permitted(loaded.record, released)
        released = replace(released, certificate=next_certificate(session, shop))
        _end(session, shop, actor, row, loaded, why, released.certificate)
        return issue(session, shop, actor, loaded, released, form.key, signer, analysed)


def _in_force(
    session: Session, actor: Actor, certificate: str, form: Form
) -> tuple[Certificate, LoadedOverhaul | None]:
    """The certificate with its overhaul, locked; None for the overhaul where the same form has ended it already."""
    row, number = _named(session, certificate)
    loaded = load_in_scope(session, actor, number, lock=True)
    if entry_seq_of_form(session, loaded.row, form.key) is not None:
        return row, None
    end = session.get(CertificateEnd, row.id)
    if end is not None:
        word = f"replaced by {end.replaced_by}" if end.replaced_by else "withdrawn"
        raise Refused("ended", f"Certificate {certificate} was {word} already.")
    return row, loaded


def _named(session: Session, certificate: str) -> tuple[Certificate, str]:
    """The certificate and the number of its overhaul."""
    found = session.exec(
        select(Certificate, Overhaul.number)
        .join(Overhaul, Overhaul.id == Certificate.overhaul_id)  # type: ignore[arg-type]
        .where(Certificate.number == certificate)
    ).first()
    if found is None:
        raise NotFound("no-certificate", f"There is no certificate {certificate}.")
    row, number = found
    return row, number


def _end(
    session: Session, shop: Shop, actor: Actor, row: Certificate, loaded: LoadedOverhaul, why: str, replaced_by: str
) -> None:
    session.add(
        CertificateEnd(
            certificate_id=row.id or 0,
            replaced_by=replaced_by,
            reason=why,
            at=shop.now(),
            person_id=actor.person_id,
            person_name=actor.name,
        )
    )
    append_journal(
        session,
        at=shop.now(),
        person=actor.signature,
        action="certificate-replaced" if replaced_by else "certificate-withdrawn",
        subject=("certificate", row.number),
        reason=why,
        after={"overhaul": loaded.row.number, "serial": loaded.unit.serial, "replaced_by": replaced_by},
    )


def _other_open(session: Session, loaded: LoadedOverhaul) -> str | None:
    """Number of the overhaul that the injector is in by now, if it came again."""
    return session.exec(
        select(Overhaul.number).where(
            Overhaul.unit_id == loaded.row.unit_id,
            Overhaul.closed_at == None,  # noqa: E711 - a column, not a value
        )
    ).first()


def _hold_where_it_is(session: Session, shop: Shop, actor: Actor, number: str, because: str, form_key: str) -> None:
    """It came again since: what is open is held, and nothing is changed of the overhaul that is over."""
    now_open = load_in_scope(session, actor, number, lock=True)
    if now_open.record.held is None:
        append_and_journal(session, shop, actor, now_open, Held(reason=because), form_key, signed=True)


def _replaced_by(session: Session, certificate: str) -> str:
    found = session.exec(
        select(CertificateEnd.replaced_by)
        .join(Certificate, Certificate.id == CertificateEnd.certificate_id)  # type: ignore[arg-type]
        .where(Certificate.number == certificate)
    ).first()
    return found or ""


def _reason(text: str) -> str:
    if not text.strip():
        raise Refused("reason-missing", "Give the reason: everybody with the link reads it.", "reason")
    return text.strip()
