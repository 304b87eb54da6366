"""A real SMTP server on this machine that keeps what it is given, with TLS by a certificate of its own if asked."""

import datetime
import ipaddress
import ssl
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from email import message_from_bytes, policy
from email.message import EmailMessage
from pathlib import Path
from typing import Any

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult, Envelope, LoginPassword
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec

HOST = "127.0.0.1"
USER, PASSWORD = "journal", "open: sesame/"


@dataclass
class Kept:
    """What the server took: who it was for, and the letter."""

    port: int = 0
    letters: list[tuple[list[str], EmailMessage]] = field(default_factory=list)

    async def handle_DATA(self, _server: Any, _session: Any, envelope: Envelope) -> str:
        """Keep the letter."""
        content = envelope.content
        assert isinstance(content, bytes)
        letter = message_from_bytes(content, policy=policy.default)
        assert isinstance(letter, EmailMessage)
        self.letters.append((list(envelope.rcpt_tos), letter))
        return "250 kept"


def make_certificate(folder: Path) -> tuple[Path, Path]:
    """A certificate for this machine that vouches for itself, and its key, as files."""
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, "invented mail server")])
    now = datetime.datetime.now(datetime.UTC)
    certificate = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - datetime.timedelta(hours=1))
        .not_valid_after(now + datetime.timedelta(hours=1))
        .add_extension(x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address(HOST))]), critical=False)
        .add_extension(x509.BasicConstraints(ca=True, path_length=None), critical=True)
        .sign(key, hashes.SHA256())
    )
    files = folder / "server.pem", folder / "server.key"
    files[0].write_bytes(certificate.public_bytes(serialization.Encoding.PEM))
    files[1].write_bytes(
        key.private_bytes(serialization.Encoding.PEM, serialization.PrivateFormat.PKCS8, serialization.NoEncryption())
    )
    return files


def _knows(_server: Any, _session: Any, _envelope: Any, _mechanism: str, given: Any) -> AuthResult:
    assert isinstance(given, LoginPassword)
    # Not handled: the server answers itself, where the authenticator would have to, or the client waits for nothing.
    return AuthResult(success=(given.login, given.password) == (USER.encode(), PASSWORD.encode()), handled=False)


@contextmanager
def mail_server(certificate: tuple[Path, Path] | None = None) -> Iterator[Kept]:
    """The server while the block runs; with a certificate it takes letters over STARTTLS after a sign-in only."""
    kept = Kept()
    more: dict[str, Any] = {}
    if certificate is not None:
        secured = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        secured.load_cert_chain(*certificate)
        more = {
            "tls_context": secured,
            "require_starttls": True,
            "auth_required": True,
            "authenticator": _knows,
        }
    # Port 0 lets the machine choose; the controller's own probe of the port wants to know it, so it is read after.
    controller = _AnyPort(kept, hostname=HOST, port=0, **more)
    controller.start()
    try:
        kept.port = controller.server.sockets[0].getsockname()[1]
        yield kept
    finally:
        controller.stop()


class _AnyPort(Controller):
    """Does not knock at port 0 to see whether it is open."""

    def _trigger_server(self) -> None:
        from socket import create_connection

        assert self.server is not None
        port = self.server.sockets[0].getsockname()[1]
        with create_connection((HOST, port), 5) as knock:
            knock.recv(200)
