"""Passwords as they are stored: argon2, slow by design, so that a stolen database gives none away."""

import secrets
from functools import cache

from pwdlib import PasswordHash

from service.actions.shop import Refused

PASSWORD_LEAST = 12


@cache
def hasher() -> PasswordHash:
    """How new passwords are hashed; an older hash is checked at the cost that it names itself."""
    return PasswordHash.recommended()


def hash_of(password: str) -> str:
    """What is stored of a password."""
    return hasher().hash(password)


def is_password(password: str, stored: str | None) -> bool:
    """Whether it is the one; where none is stored the answer takes as long, and is no."""
    return hasher().verify(password, stored or _decoy()) and stored is not None


def refuse_short(password: str, field: str) -> None:
    """Raise Refused by the field for one shorter than 12 characters."""
    if len(password) < PASSWORD_LEAST:
        raise Refused("password-short", f"The password needs at least {PASSWORD_LEAST} characters.", field)


@cache
def _decoy() -> str:
    return hasher().hash(secrets.token_urlsafe(16))
