"""The secret calendar address of a manager: calendar programs do not sign in, so the address itself is the key."""

import hashlib
import secrets
from datetime import datetime

from sqlmodel import Session, col, select

from service.actions.shop import Actor, NotFound, Shop, require
from service.records.journal import append_journal
from service.records.tables import DueFeed, Person
from service.workshop.vocabulary import Role


def open_feed(shop: Shop, actor: Actor) -> str:
    """Make a new address and end an earlier one; gives its secret part, which is shown once and stored nowhere."""
    require(actor, Role.MANAGER)
    token = secrets.token_urlsafe(32)
    with shop.store.change() as session:
        feed = session.get(DueFeed, actor.person_id, with_for_update=True)
        renewed = feed is not None
        feed = feed or DueFeed(person_id=actor.person_id, token_hash="", created_at=shop.now())
        feed.token_hash, feed.created_at = _hashed(token), shop.now()
        session.add(feed)
        _journal(session, shop, actor, "calendar-address-renewed" if renewed else "calendar-address-made")
    return token


def close_feed(shop: Shop, actor: Actor) -> None:
    """End the manager's address: from now on it answers as one that never was. Ending none is no error."""
    require(actor, Role.MANAGER)
    with shop.store.change() as session:
        feed = session.get(DueFeed, actor.person_id, with_for_update=True)
        if feed is not None:
            session.delete(feed)
            _journal(session, shop, actor, "calendar-address-ended")


def feed_opened_at(session: Session, actor: Actor) -> datetime | None:
    """When the manager's address was made, None where there is none."""
    feed = session.get(DueFeed, actor.person_id)
    return None if feed is None else feed.created_at


def check_feed(session: Session, token: str) -> None:
    """Raise NotFound unless the secret belongs to somebody who is a manager still."""
    statement = (
        select(DueFeed.person_id)
        .join(Person, col(Person.id) == DueFeed.person_id)
        .where(DueFeed.token_hash == _hashed(token), col(Person.active), Person.role == Role.MANAGER.value)
    )
    if session.exec(statement).first() is None:
        raise NotFound("no-calendar", "There is no such calendar.")


def _hashed(token: str) -> str:
    return hashlib.sha256(token.encode()).hexdigest()


def _journal(session: Session, shop: Shop, actor: Actor, action: str) -> None:
    subject = ("person", actor.login or str(actor.person_id))
    append_journal(session, at=shop.now(), person=actor.signature, action=action, subject=subject)
