"""The release: the gate once more inside the transaction, then the certificate."""

from service.actions.issuing import Issued, issue, issued_by_form, next_certificate
from service.actions.recording import Form, load_in_scope, recorded_since
from service.actions.shop import Actor, Conflict, Shop, require
from service.actions.signed_acts import signed_change
from service.actions.traces_on_certificates import analyse_for_certificate
from service.records.overhaul_store import LoadedOverhaul, entry_seq_of_form
from service.workshop.entries import Released
from service.workshop.permitted import check_permitted
from service.workshop.vocabulary import Role


def sign_release(shop: Shop, actor: Actor, number: str, form: Form, *, password: str) -> Issued:
    """Sign and issue, all or nothing.

    Raises NotPermitted with every blocker, WrongPassword, TooOften where it was tried too often, Conflict where
    anything at all was recorded since the manager looked or a trace was changed meanwhile, KeysRefused where the
    workshop has no key or cannot sign.
    """
    require(actor, Role.MANAGER)
    signer = shop.keyring.signer  # opened before the database is locked
    analysed = analyse_for_certificate(shop, actor, number)
    with signed_change(shop, actor, password) as session:
        loaded = load_in_scope(session, actor, number, lock=True)
        earlier = entry_seq_of_form(session, loaded.row, form.key)
        if earlier is not None:
            return issued_by_form(session, _certificate_at(loaded, earlier))
        instead = loaded.record.last_certificate
        check_permitted(loaded.record, Released(certificate="", signed_on=shop.today))
        if loaded.row.last_seq > form.seen:
            raise Conflict(
                "changed",
                "Something was recorded since you opened this page. Look at it, then sign.",
                tuple(words for _, words in recorded_since(loaded.record, form.seen)),
            )
        released = Released(certificate=next_certificate(session, shop), signed_on=shop.today, replaces=instead)
        return issue(session, shop, actor, loaded, released, form.key, signer, analysed)


def _certificate_at(loaded: LoadedOverhaul, seq: int) -> str:
    """The certificate that the entry issued, "" where it is another kind of entry."""
    return next((released.certificate for at, released in loaded.record.all_of(Released) if at == seq), "")
