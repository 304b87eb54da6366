"""How often a password may be tried: ten failures for one login within a quarter of an hour end the trials.

Counted by login, known or not: one address may stand for a whole workshop, and an attacker has many.
"""

import hashlib
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import datetime, timedelta

from sqlmodel import Session, col, delete, select

from service.actions.shop import Refused, Shop, TooOften
from service.records.tables import SignInFailure

MOST_FAILURES = 10
WITHIN = timedelta(minutes=15)
_AT_ONCE = threading.BoundedSemaphore(4)
"""Each check of a password takes 64 MiB and a core on purpose: so many at once, and no more slip past the count."""


class WrongPassword(Refused):
    """The password, or the login, is wrong."""


@contextmanager
def password_trial(shop: Shop, login: str) -> Iterator[None]:
    """Let a password be tried in the block: WrongPassword out of it counts as a failure.

    Raises TooOften at once where the login's trials are used up; that counts as no failure, so the wait has an end.
    """
    mark = _mark(login)
    with _AT_ONCE:
        failures = _failures(shop, mark)
        if len(failures) >= MOST_FAILURES:
            raise _too_often(failures[MOST_FAILURES - 1] + WITHIN, shop.now())
        try:
            yield
        except WrongPassword:
            with shop.store.change() as session:
                session.exec(delete(SignInFailure).where(col(SignInFailure.at) <= shop.now() - WITHIN))
                session.add(SignInFailure(login_hash=mark, at=shop.now()))
            raise


def forget_failures(session: Session, login: str) -> None:
    """The login's own person has signed in: what was mistyped before counts no more."""
    session.exec(delete(SignInFailure).where(col(SignInFailure.login_hash) == _mark(login)))


def _mark(login: str) -> str:
    return hashlib.sha256(login.encode()).hexdigest()


def _failures(shop: Shop, mark: str) -> list[datetime]:
    """The moments of those that count, newest first."""
    with shop.store.reading() as session:
        counting = select(SignInFailure.at).where(
            SignInFailure.login_hash == mark, col(SignInFailure.at) > shop.now() - WITHIN
        )
        return list(session.exec(counting.order_by(col(SignInFailure.at).desc()).limit(MOST_FAILURES)))


def _too_often(until: datetime, now: datetime) -> TooOften:
    whole_minute = until.replace(second=0, microsecond=0)
    if whole_minute < until:
        whole_minute += timedelta(minutes=1)
    sentence = f"The password for this login was wrong too often. Try again at {whole_minute:%H:%M} UTC."
    return TooOften("too-often", sentence, whole_minute - now)
