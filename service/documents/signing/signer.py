"""Signing a finished PDF by PAdES: the last thing done to a document, over every byte of it.

Baseline B-B, or B-T where a time-stamp server is set (ETSI EN 319 142-1, clause 6; RFC 3161). The signature certifies
the document and permits no later change (ISO 32000-1, 12.8.2.2, DocMDP level 1). Its field has no appearance, so that
the tagged pages stay as they are (PDF/A-3, PDF/UA-1).
"""

import hashlib
from dataclasses import dataclass
from datetime import datetime
from functools import cache, cached_property
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from service.documents.signing.own_loop import in_own_loop
from service.documents.signing.refusal import KeysRefused, SigningFailed

if TYPE_CHECKING:
    from pyhanko.sign.signers import Signer, SimpleSigner
    from pyhanko.sign.timestamps import TimeStamper

FIELD = "Release"
"""Name of the one signature field."""


@dataclass(frozen=True)
class Pkcs11Key:
    """Where a token's key is found: the token's driver, its label, the label of key and certificate, and its PIN."""

    module: Path
    token: str
    label: str
    pin: str


@dataclass
class DocumentSigner:
    """A key ready to sign, and the server that stamps the time where one is set."""

    key: "Signer"
    subject: str
    """Whose key it is, as the certificate says."""
    authority_pem: bytes
    """The topmost certificate that came with the key: what a reader must trust."""
    stamper: "TimeStamper | None" = None

    def signed(self, document: bytes, at: datetime, reason: str) -> bytes:
        """The document with its signature, dated `at`: without a time stamp the same bytes each time.

        Raises SigningFailed: the time-stamp server or the token does not answer.
        """
        from pyhanko.pdf_utils.misc import PdfError
        from pyhanko.sign.general import SigningError
        from pyhanko.sign.timestamps import TimestampRequestError

        try:
            return in_own_loop(lambda: _sign(self.key, self.stamper, document, at, reason))
        except TimestampRequestError as error:
            sentence = "The time-stamp server gave no stamp, so nothing was signed: try again, or tell who set it up."
            raise SigningFailed("no-time-stamp", sentence) from error
        except (SigningError, PdfError, OSError) as error:
            raise SigningFailed("not-signed", "The document could not be signed; nothing was issued.") from error


def signer_of_file(content: bytes, password: str, time_stamp_url: str = "") -> DocumentSigner:
    """The key out of a PKCS#12 file. Raises KeysRefused: it cannot be opened, or holds no key."""
    from pyhanko.sign.signers import SimpleSigner

    try:
        read = SimpleSigner.load_pkcs12_data(content, other_certs=[], passphrase=password.encode())
    except ValueError as error:
        sentence = "The password does not open the signing key, or no key is in its file."
        raise KeysRefused("wrong-key-password", sentence) from error
    return _ready(_file_key()(read.signing_cert, read.signing_key, read.cert_registry), time_stamp_url)


@cache
def _file_key() -> "type[SimpleSigner]":
    from cryptography.hazmat.primitives.asymmetric.padding import PKCS1v15
    from cryptography.hazmat.primitives.asymmetric.rsa import RSAPrivateKey
    from cryptography.hazmat.primitives.hashes import SHA256
    from cryptography.hazmat.primitives.serialization import load_der_private_key
    from pyhanko.sign.signers import SimpleSigner

    class FileKey(SimpleSigner):
        """Reads its key once. Read anew for each signature, twice, its primes would be proved each time: 0.2 s."""

        @cached_property
        def opened(self) -> Any:
            return load_der_private_key(self.signing_key.dump(), password=None)

        def sign_raw(self, data: bytes, digest_algorithm: str) -> bytes:
            mechanism: Any = self.get_signature_mechanism_for_digest(digest_algorithm)
            plain = isinstance(self.opened, RSAPrivateKey) and mechanism.signature_algo == "rsassa_pkcs1v15"
            if plain and digest_algorithm == "sha256":
                signature: bytes = self.opened.sign(data, PKCS1v15(), SHA256())
                return signature
            return super().sign_raw(data, digest_algorithm)

    return FileKey


def signer_of_token(place: Pkcs11Key, time_stamp_url: str = "") -> DocumentSigner:
    """A key that never leaves its PKCS#11 token. Raises KeysRefused: no driver, no such token or key, wrong PIN."""
    try:
        import pkcs11
        from pyhanko.config.pkcs11 import TokenCriteria
        from pyhanko.sign.pkcs11 import PKCS11Signer, open_pkcs11_session
    except ImportError as missing:
        raise KeysRefused("no-pkcs11", "A token needs the extra: pip install 'spindlebook[token]'.") from missing
    try:
        criteria = TokenCriteria(label=place.token)
        session = open_pkcs11_session(str(place.module), token_criteria=criteria, user_pin=place.pin)
        key = PKCS11Signer(session, cert_label=place.label, key_label=place.label, other_certs_to_pull=None)
        if key.signing_cert is None:
            raise KeysRefused("no-key", f"The token holds no certificate {place.label}.")
    except (pkcs11.PKCS11Error, RuntimeError, OSError) as error:
        raise KeysRefused("token", f"The token {place.token} gave no key: driver, label or PIN is wrong.") from error
    return _ready(key, time_stamp_url)


def _ready(key: "Signer", time_stamp_url: str) -> DocumentSigner:
    from asn1crypto import pem
    from pyhanko.sign.timestamps import HTTPTimeStamper

    certificate: Any = key.signing_cert
    above: list[Any] = list(key.cert_registry)
    own = {one.subject.hashable for one in above}
    top = next((one for one in above if one.self_signed != "no" or one.issuer.hashable not in own), certificate)
    # Who checks has the root already; without it a key of our own authority embeds one certificate, in one order.
    key.embed_roots = False
    return DocumentSigner(
        key,
        certificate.subject.human_friendly,
        pem.armor("CERTIFICATE", top.dump()),
        HTTPTimeStamper(time_stamp_url, timeout=10) if time_stamp_url else None,
    )


def _sign(key: "Signer", stamper: "TimeStamper | None", document: bytes, at: datetime, reason: str) -> bytes:
    from pyhanko.pdf_utils import generic
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign.fields import InvisSigSettings, MDPPerm, SigFieldSpec, SigSeedSubFilter
    from pyhanko.sign.signers import PdfSignatureMetadata, PdfSigner
    from pyhanko.sign.signers.pdf_signer import PdfSigningSession

    class Writer(IncrementalPdfFileWriter):
        """Numbers the new version by what was in the old one and not by chance: the same bytes each time."""

        def _update_meta(self) -> None:
            """The document's data stay as they are: a signature is no edit, and the time of day is no content."""

        @classmethod
        def _handle_id(cls, prev: Any) -> Any:
            first = prev.trailer["/ID"][0]
            kept = first.original_bytes if isinstance(first, generic.TextStringObject) else first
            changed = hashlib.sha256(document).digest()[:16]
            return generic.ArrayObject([generic.ByteStringObject(kept), generic.ByteStringObject(changed)])

    class Dated(PdfSigner):
        """Signs at the moment that the document states."""

        def init_signing_session(self, *args: Any, **options: Any) -> PdfSigningSession:
            session = super().init_signing_session(*args, **options)
            session.system_time = at
            return session

    outside = InvisSigSettings(set_print_flag=True, set_hidden_flag=False, box_out_of_bounds=True)
    metadata = PdfSignatureMetadata(
        field_name=FIELD,
        reason=reason,
        md_algorithm="sha256",
        subfilter=SigSeedSubFilter.PADES,
        certify=True,
        docmdp_permissions=MDPPerm.NO_CHANGES,
    )
    field = SigFieldSpec(FIELD, invis_sig_settings=outside, readable_field_name="Signature of the workshop")
    signer = Dated(metadata, signer=key, timestamper=stamper, new_field_spec=field)
    signed = signer.sign_pdf(Writer(BytesIO(document)))
    content: bytes = signed.getvalue()
    return content
