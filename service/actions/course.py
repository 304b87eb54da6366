"""Holding an injector, lifting the hold, and the side exits. What stops or scraps one is signed with the password."""

from sqlmodel import Session

from service.actions.recording import Form, Recorded, record_entry
from service.actions.shop import BENCH, Actor, Refused, Shop, require
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.entries import Condemned, Held, HoldLifted, Returned
from service.workshop.vocabulary import Role


def hold(shop: Shop, actor: Actor, number: str, form: Form, *, reason: str, password: str) -> Recorded:
    """Stop everything on this injector until a manager lifts the hold; signed."""
    require(actor, *BENCH)
    held = Held(reason=_reason(reason))
    return record_entry(shop, actor, number, form, lambda loaded, session: held, password=password)


def lift_hold(shop: Shop, actor: Actor, number: str, form: Form, *, reason: str, password: str) -> Recorded:
    """Let it go on; signed."""
    require(actor, Role.MANAGER)
    lifted = HoldLifted(reason=_reason(reason))
    return record_entry(shop, actor, number, form, lambda loaded, session: lifted, password=password)


def return_unrepaired(shop: Shop, actor: Actor, number: str, form: Form, *, reason: str) -> Recorded:
    """Send it back as it is; no certificate is issued."""
    require(actor, Role.MANAGER)
    return record_entry(shop, actor, number, form, lambda loaded, session: Returned(reason=_reason(reason)))


def condemn(shop: Shop, actor: Actor, number: str, form: Form, *, reason: str, password: str) -> Recorded:
    """Scrap the injector for good: its serial is never received, fitted or released again; signed."""
    require(actor, Role.MANAGER)
    condemned = Condemned(reason=_reason(reason))

    def build(loaded: LoadedOverhaul, session: Session) -> Condemned:
        loaded.unit.condemned = True
        session.add(loaded.unit)
        return condemned

    return record_entry(shop, actor, number, form, build, password=password)


def _reason(text: str) -> str:
    if not text.strip():
        raise Refused("reason-missing", "Give the reason.", "reason")
    return text.strip()
