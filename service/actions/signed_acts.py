"""An act that a person signs with the own password again: what it takes to be sure who acts, whatever lies open."""

from collections.abc import Iterator
from contextlib import contextmanager

from sqlmodel import Session

from service.actions.accounts import prove_password, still_proved
from service.actions.password_trials import password_trial
from service.actions.shop import Actor, Shop


@contextmanager
def signed_change(shop: Shop, signer: Actor, password: str) -> Iterator[Session]:
    """A change that the signer's password opens. Raises WrongPassword, or TooOften where it was tried too often.

    The password is checked before the database is locked: that takes its time by design, and nobody waits for it.
    """
    with password_trial(shop, signer.login):
        proof = prove_password(shop, signer, password)
    with shop.store.change() as session:
        still_proved(session, signer, proof)
        yield session
