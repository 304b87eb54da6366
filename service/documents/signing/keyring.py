"""The workshop's keys as the settings name them, opened when the first document is signed or checked."""

from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path

from service.documents.signing.refusal import KeysRefused
from service.documents.signing.signer import DocumentSigner, Pkcs11Key, signer_of_file, signer_of_token
from service.documents.signing.verification import Trust


@dataclass(frozen=True)
class KeyPlaces:
    """Where the keys are: one signing key, in a PKCS#12 file or on a token, and what goes with it."""

    key_file: Path | None = None
    password: str = field(default="", repr=False)
    token: Pkcs11Key | None = None
    time_stamp_url: str = ""
    time_stamp_roots: Path | None = None
    authority: Path | None = None
    """The workshop's public certificate; None takes the topmost one that came with the key."""
    revoked: Path | None = None


class Keyring:
    """The keys of one workshop."""

    def __init__(self, places: KeyPlaces) -> None:
        self._places = places

    @property
    def can_sign(self) -> bool:
        """Whether a signing key is set."""
        return self._places.key_file is not None or self._places.token is not None

    @cached_property
    def signer(self) -> DocumentSigner:
        """The signing key, opened. Raises KeysRefused: none is set, or it cannot be opened."""
        places = self._places
        if places.token is not None:
            return signer_of_token(places.token, places.time_stamp_url)
        if places.key_file is None:
            raise KeysRefused(
                "no-signing-key",
                "This workshop has no signing key yet, so nothing can be released: "
                "who runs the service makes one with 'spindlebook keys init'.",
            )
        return signer_of_file(_read(places.key_file, "signing key"), places.password, places.time_stamp_url)

    @property
    def trust(self) -> Trust:
        """Whom to believe when a document is checked; the list of revoked keys is read anew each time."""
        places = self._places
        return Trust(
            _read(places.authority, "certificate") if places.authority else self.signer.authority_pem,
            _read(places.revoked, "list of revoked keys") if places.revoked and places.revoked.exists() else b"",
            _read(places.time_stamp_roots, "time-stamp certificate") if places.time_stamp_roots else b"",
        )


def _read(place: Path, what: str) -> bytes:
    try:
        return place.read_bytes()
    except OSError as error:
        raise KeysRefused("key-file", f"The {what} cannot be read: {place} ({error.strerror}).") from error
