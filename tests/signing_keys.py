"""Keys of an invented workshop for tests: made once for each process, since an RSA key takes its time."""

from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from service.documents.signing.key_making import Authority, SigningKey, make_authority, make_signing_key
from service.documents.signing.keyring import KeyPlaces, Keyring

MADE_AT = datetime(2026, 1, 1, tzinfo=UTC)
"""Before every moment at which a test signs."""
KEY_PASSWORD = "a key that opens nothing real"  # noqa: S105 - of an invented workshop


@cache
def authority() -> Authority:
    """The invented workshop's authority."""
    return make_authority("Invented Injector Works", MADE_AT)


@cache
def signing_key() -> SigningKey:
    """Its signing key."""
    return make_signing_key(authority(), "Invented Injector Works", MADE_AT)


@cache
def locked_key() -> bytes:
    """The signing key as a PKCS#12 file."""
    return signing_key().locked(KEY_PASSWORD)


@cache
def key_file() -> Path:
    """That file on the disk, for settings."""
    place = Path(mkdtemp()) / "signing-key.p12"
    place.write_bytes(locked_key())
    return place


@cache
def keyring() -> Keyring:
    """The invented workshop's keys as the actions take them."""
    return Keyring(KeyPlaces(key_file=key_file(), password=KEY_PASSWORD))
