"""A certificate authority for one workshop, the keys that sign its certificates, and the list of those revoked.

X.509 (RFC 5280), RSA of 3072 bits with SHA-256: equal to 128 bits of security (NIST SP 800-57 Part 1, table 2), and
its PKCS#1 v1.5 signatures are the same bytes each time, so that a document can be made again and compared.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.hazmat.primitives.serialization import BestAvailableEncryption, Encoding, pkcs12
from cryptography.x509.oid import NameOID

from service.documents.signing.refusal import KeysRefused

_AUTHORITY_YEARS = 20
KEY_YEARS = 3
"""A signing key is rotated before so many years are over."""
_LIST_DAYS = 3650
_LEAST_PASSWORD = 12


@dataclass(frozen=True)
class Authority:
    """The workshop's certificate authority."""

    key: rsa.RSAPrivateKey
    certificate: x509.Certificate

    @property
    def public_pem(self) -> bytes:
        """What anybody needs to check a document: may be handed to everyone."""
        return self.certificate.public_bytes(Encoding.PEM)

    def locked(self, password: str) -> bytes:
        """The authority as a PKCS#12 file: to be kept off the server, since it makes keys."""
        return _locked("authority", self.key, self.certificate, (), password)


@dataclass(frozen=True)
class SigningKey:
    """A key that signs certificates, issued by the authority."""

    key: rsa.RSAPrivateKey
    certificate: x509.Certificate
    authority: x509.Certificate

    def locked(self, password: str) -> bytes:
        """Key, certificate and the authority's certificate as a PKCS#12 file."""
        return _locked("signing", self.key, self.certificate, (self.authority,), password)


def make_authority(workshop: str, at: datetime) -> Authority:
    """A new authority in the workshop's name, valid for twenty years from `at`. Raises KeysRefused: no name."""
    name = _name(workshop, "certificate authority")
    key = _new_key()
    certificate = (
        _certificate(name, name, key.public_key(), at, _AUTHORITY_YEARS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_key_usage(authority=True), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .sign(key, hashes.SHA256())
    )
    return Authority(key, certificate)


def make_signing_key(authority: Authority, workshop: str, at: datetime, years: int = KEY_YEARS) -> SigningKey:
    """A new signing key under the authority, valid for so many years from `at`: rotate it before."""
    key = _new_key()
    issuer = x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key())
    certificate = (
        _certificate(
            authority.certificate.subject, _name(workshop, "release certificates"), key.public_key(), at, years
        )
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_key_usage(authority=False), critical=True)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
        .add_extension(issuer, critical=False)
        .sign(authority.key, hashes.SHA256())
    )
    return SigningKey(key, certificate, authority.certificate)


@dataclass(frozen=True)
class RevokedKey:
    """A signing key that must not be trusted from a moment on, by its certificate's serial number."""

    serial: int
    since: datetime


def revocation_list(authority: Authority, revoked: Sequence[RevokedKey], at: datetime) -> bytes:
    """The list of revoked keys, signed by the authority (PEM). It is valid for ten years: publish it anew each time."""
    builder = (
        x509.CertificateRevocationListBuilder()
        .issuer_name(authority.certificate.subject)
        .last_update(at)
        .next_update(at + timedelta(days=_LIST_DAYS))
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_public_key(authority.key.public_key()), critical=False)
        .add_extension(x509.CRLNumber(int(at.timestamp())), critical=False)
    )
    for one in revoked:
        entry = x509.RevokedCertificateBuilder().serial_number(one.serial).revocation_date(one.since).build()
        builder = builder.add_revoked_certificate(entry)
    return builder.sign(authority.key, hashes.SHA256()).public_bytes(Encoding.PEM)


def revoked_keys(pem: bytes) -> tuple[RevokedKey, ...]:
    """The keys on a list that this workshop published earlier."""
    listed = x509.load_pem_x509_crl(pem)
    return tuple(RevokedKey(one.serial_number, one.revocation_date_utc) for one in listed)


def open_authority(content: bytes, password: str) -> Authority:
    """The authority out of its PKCS#12 file. Raises KeysRefused: wrong password, or another kind of file."""
    key, certificate = _unlocked(content, password)
    if not certificate.extensions.get_extension_for_class(x509.BasicConstraints).value.ca:
        raise KeysRefused("not-an-authority", "This file holds no certificate authority: give the authority's file.")
    return Authority(key, certificate)


def _unlocked(content: bytes, password: str) -> tuple[rsa.RSAPrivateKey, x509.Certificate]:
    try:
        key, certificate, _ = pkcs12.load_key_and_certificates(content, password.encode())
    except ValueError as wrong:
        raise KeysRefused("wrong-key-password", "The password does not open this key file.", "password") from wrong
    if not isinstance(key, rsa.RSAPrivateKey) or certificate is None:
        raise KeysRefused("no-key", "This file holds no RSA key with its certificate.")
    return key, certificate


def _locked(
    name: str, key: rsa.RSAPrivateKey, certificate: x509.Certificate, above: tuple[x509.Certificate, ...], password: str
) -> bytes:
    if len(password) < _LEAST_PASSWORD:
        sentence = f"Choose a password of at least {_LEAST_PASSWORD} characters for the key file."
        raise KeysRefused("short-key-password", sentence, "password")
    encryption = BestAvailableEncryption(password.encode())
    return pkcs12.serialize_key_and_certificates(name.encode(), key, certificate, above or None, encryption)


def _new_key() -> rsa.RSAPrivateKey:
    return rsa.generate_private_key(public_exponent=65537, key_size=3072)


def _name(workshop: str, purpose: str) -> x509.Name:
    shop = workshop.strip()
    if not shop or len(shop) > 64:
        raise KeysRefused("workshop-name", "Give the workshop's name, 1 to 64 characters.", "workshop")
    attributes = [(NameOID.ORGANIZATION_NAME, shop), (NameOID.COMMON_NAME, f"{shop[:38]}: {purpose}")]
    return x509.Name([x509.NameAttribute(oid, value) for oid, value in attributes])


def _certificate(
    issuer: x509.Name, subject: x509.Name, key: rsa.RSAPublicKey, at: datetime, years: int
) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .issuer_name(issuer)
        .subject_name(subject)
        .public_key(key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(at)
        .not_valid_after(at + timedelta(days=366 * years))
    )


def _key_usage(*, authority: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not authority,
        content_commitment=not authority,
        key_cert_sign=authority,
        crl_sign=authority,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )
