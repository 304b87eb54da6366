"""The invented workshop's signing key: made with the demonstration, its password known to all, so it proves nothing."""

from datetime import datetime, timedelta
from pathlib import Path

from service.documents.signing.key_making import make_authority, make_signing_key
from service.documents.signing.keyring import KeyPlaces

KEY_PASSWORD = "this-demo-key-proves-nothing"  # noqa: S105 - printed here for everybody
_YEARS_BEFORE, _YEARS = 4, 20


def key_places(folder: Path) -> KeyPlaces:
    """Where the demonstration in that folder has its keys."""
    keys = folder / "keys"
    return KeyPlaces(
        key_file=keys / "signing-key.p12", password=KEY_PASSWORD, authority=keys / "workshop-certificate.pem"
    )


def make_keys(folder: Path, workshop: str, end: datetime) -> KeyPlaces:
    """Make them, unless they are there: valid from before the demonstration's first story."""
    places = key_places(folder)
    if places.key_file is None or places.authority is None or places.key_file.exists():
        return places
    since = end - timedelta(days=365 * _YEARS_BEFORE)
    authority = make_authority(workshop, since)
    key = make_signing_key(authority, workshop, since, years=_YEARS)
    places.key_file.parent.mkdir(parents=True, exist_ok=True)
    places.authority.write_bytes(authority.public_pem)
    places.key_file.write_bytes(key.locked(KEY_PASSWORD))
    return places
