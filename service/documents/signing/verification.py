"""Whether a PDF is what a workshop signed: for the public page, and off line for whoever holds its certificate.

Validation of the signature by pyHanko (PAdES, ETSI EN 319 102-1), at the moment that the signature states, so that a
certificate can be checked long after its key was rotated. A key on the workshop's list of revoked keys is believed
only where a trusted time stamp proves that it signed before.
"""

import json
import logging
import zlib
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum
from io import BytesIO
from typing import TYPE_CHECKING, Any

from service.documents.signing.own_loop import in_own_loop
from service.documents.signing.refusal import KeysRefused

if TYPE_CHECKING:
    from pyhanko.sign.validation import EmbeddedPdfSignature
    from pyhanko.sign.validation.status import PdfSignatureStatus

    from service.documents.signing.key_making import RevokedKey

# It logs a traceback for every foreign signature: what a stranger uploads is no fault of the service.
logging.getLogger("pyhanko.sign.validation").setLevel(logging.CRITICAL)


class Standing(StrEnum):
    """What a file turned out to be."""

    GENUINE = "genuine"
    ALTERED = "altered"
    UNSIGNED = "unsigned"
    FOREIGN = "foreign"
    REVOKED = "revoked"
    NO_PDF = "no-pdf"

    @property
    def sentence(self) -> str:
        """What it means, for people."""
        return _SENTENCES[self]


_SENTENCES = {
    Standing.GENUINE: "Signed by this workshop and unchanged since.",
    Standing.ALTERED: "The file was changed after it was signed, or its signature belongs to another file.",
    Standing.UNSIGNED: "The file bears no signature.",
    Standing.FOREIGN: "The file is signed by somebody else, or at a time at which the key was not valid.",
    Standing.REVOKED: "The key that signed it was revoked, and nothing proves that it signed before.",
    Standing.NO_PDF: "The file is no PDF that can be read.",
}

_UNREADABLE = (ValueError, KeyError, TypeError, IndexError, AttributeError, RecursionError, zlib.error)
"""What reading a file that somebody tampered with may end in."""


@dataclass(frozen=True)
class Examination:
    """What was found. Times are as the signature states them; `stamped` where a trusted time stamp confirms it."""

    standing: Standing
    signer: str = ""
    key_serial: str = ""
    """Serial number of the key's certificate, hexadecimal: what revoking it asks for."""
    signed_at: datetime | None = None
    stamped: bool = False
    revoked_since: datetime | None = None
    facts: dict[str, Any] | None = None
    """The attached certificate.json; to be believed only where the standing is genuine."""


@dataclass(frozen=True)
class Trust:
    """Whom to believe: the workshop's certificate, its list of revoked keys, the time-stamp server's certificates."""

    authority_pem: bytes
    revoked_pem: bytes = b""
    stamp_roots_pem: bytes = b""


def examine_file(content: bytes, trust: Trust) -> Examination:
    """Examine one file. Raises KeysRefused: the trust itself cannot be used (no certificate, a forged list)."""
    from pyhanko.pdf_utils.misc import PdfError
    from pyhanko.pdf_utils.reader import PdfFileReader

    roots = _certificates(trust.authority_pem)
    revoked = _revoked(trust)
    try:
        reader = PdfFileReader(BytesIO(content))
        signatures, facts = list(reader.embedded_regular_signatures), _facts(reader)
        if not signatures:
            return Examination(Standing.UNSIGNED, facts=facts)
        return _examined(signatures, roots, revoked, trust, facts)
    except (PdfError, *_UNREADABLE):
        return Examination(Standing.NO_PDF)


def _examined(
    signatures: "list[EmbeddedPdfSignature]",
    roots: Sequence[Any],
    revoked: Sequence["RevokedKey"],
    trust: Trust,
    facts: dict[str, Any] | None,
) -> Examination:
    from pyhanko.sign.validation.errors import SignatureValidationError

    signature = signatures[-1]
    signer, serial = signature.signer_cert.subject.human_friendly, signature.signer_cert.serial_number
    signed_at = signature.self_reported_timestamp
    try:
        status = _status(signature, roots, signed_at, trust)
    except SignatureValidationError:
        return Examination(Standing.ALTERED, signer, f"{serial:x}", signed_at, facts=facts)
    stamp = status.timestamp_validity
    stamped = bool(stamp and stamp.valid and stamp.intact and stamp.trusted)
    moment = stamp.timestamp if stamp and stamped else signed_at
    since = next((one.since for one in revoked if one.serial == serial), None)
    if len(signatures) > 1 or not _whole(status):
        standing = Standing.ALTERED
    elif not status.trusted:
        standing = Standing.FOREIGN
    elif since is not None and not (stamped and moment is not None and moment < since):
        standing = Standing.REVOKED
    else:
        standing = Standing.GENUINE
    return Examination(standing, signer, f"{serial:x}", moment, stamped, since, facts)


def _status(
    signature: "EmbeddedPdfSignature", roots: Sequence[Any], moment: datetime | None, trust: Trust
) -> "PdfSignatureStatus":
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko_certvalidator import ValidationContext

    def believing(believed: Sequence[Any]) -> ValidationContext:
        return ValidationContext(trust_roots=believed, moment=moment, allow_fetching=False, revocation_mode="soft-fail")

    stamp_roots = _certificates(trust.stamp_roots_pem) if trust.stamp_roots_pem else []
    return in_own_loop(lambda: validate_pdf_signature(signature, believing(roots), believing(stamp_roots)))


def _whole(status: "PdfSignatureStatus") -> bool:
    """Every byte of the file is signed, as it was signed."""
    from pyhanko.sign.validation.status import SignatureCoverageLevel

    return status.intact and status.valid and status.coverage == SignatureCoverageLevel.ENTIRE_FILE


def _certificates(text: bytes) -> list[Any]:
    from asn1crypto import pem, x509

    try:
        found = [x509.Certificate.load(der) for kind, _, der in pem.unarmor(text, multiple=True) if kind]
    except ValueError as error:
        raise KeysRefused("no-certificate", "This is no certificate in PEM form.") from error
    return found


def _revoked(trust: Trust) -> "tuple[RevokedKey, ...]":
    """The revoked keys, once the authority's own signature on the list is checked."""
    if not trust.revoked_pem:
        return ()
    from cryptography import x509

    from service.documents.signing.key_making import revoked_keys

    try:
        listed = x509.load_pem_x509_crl(trust.revoked_pem)
        authority = x509.load_pem_x509_certificate(trust.authority_pem)
        genuine = listed.is_signature_valid(authority.public_key())  # type: ignore[arg-type]
    except ValueError as error:
        raise KeysRefused("no-revocation-list", "The list of revoked keys cannot be read.") from error
    if not genuine:
        raise KeysRefused("forged-revocation-list", "The list of revoked keys is not signed by this workshop.")
    return revoked_keys(trust.revoked_pem)


def _facts(reader: Any) -> dict[str, Any] | None:
    """The attached record, None where it cannot be read: what the file is worth, the signature says."""
    from pyhanko.pdf_utils.misc import PdfError

    try:
        return _attached(reader)
    except (PdfError, *_UNREADABLE):
        return None


def _attached(reader: Any) -> dict[str, Any] | None:
    """The attached certificate.json, None where there is none or it is no JSON object."""
    files = reader.root.get("/AF", ())
    for place in range(len(files)):
        named = files[place]  # by its place: an iteration would give references, not what they lead to
        if named["/F"] == "certificate.json":
            facts = json.loads(named["/EF"]["/F"].data)
            return facts if isinstance(facts, dict) else None
    return None
