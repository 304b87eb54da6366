"""Reads of the hot pages: straight from SQL to small dataclasses, no ORM objects in between."""

import asyncio
from collections.abc import Callable
from dataclasses import dataclass
from typing import ParamSpec, TypeVar

from service.records.store import Store

P = ParamSpec("P")
T = TypeVar("T")


async def ask(store: Store, question: Callable[P, T], *args: P.args, **kwargs: P.kwargs) -> T:
    """Answer a short read: at once on embedded SQLite, in a thread where a network lies between."""
    if store.is_sqlite:
        return question(*args, **kwargs)
    return await asyncio.to_thread(question, *args, **kwargs)


@dataclass(frozen=True, slots=True)
class SignedInRow:
    """Whose sign-in a token is."""

    person_id: int
    name: str
    role: str
    operator_id: int | None
    login: str


def person_of_token(store: Store, token_hash: str, now: str) -> SignedInRow | None:
    """The active person whose sign-in has that hash and has not expired at `now` (stored form of a moment)."""
    found = store.rows(
        "SELECT p.id, p.name, p.role, p.operator_id, p.login FROM sign_in s JOIN person p ON p.id = s.person_id "
        "WHERE s.token_hash = ? AND s.expires_at > ? AND p.active",
        (token_hash, now),
    )
    return SignedInRow(*found[0]) if found else None
