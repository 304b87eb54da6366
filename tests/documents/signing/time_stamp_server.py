"""A time-stamp server on this machine (RFC 3161 over HTTP, section 3.4), with a certificate of its own."""

import asyncio
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, timedelta
from http.server import BaseHTTPRequestHandler, HTTPServer
from threading import Thread
from typing import Any

from asn1crypto import keys, tsp
from asn1crypto import x509 as asn1_x509
from cryptography import x509
from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import rsa
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID
from pyhanko.sign.timestamps.dummy_client import DummyTimeStamper


@dataclass(frozen=True)
class RunningServer:
    """Its address and the certificate to believe."""

    url: str
    root_pem: bytes


@contextmanager
def time_stamp_server(at: datetime) -> Iterator[RunningServer]:
    """Stamps whatever it is sent with the moment `at`, until the block ends."""
    key = rsa.generate_private_key(public_exponent=65537, key_size=2048)
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Invented time stamps")])
    certificate = (
        x509.CertificateBuilder()
        .issuer_name(name)
        .subject_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(at - timedelta(days=1))
        .not_valid_after(at + timedelta(days=400))
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.TIME_STAMPING]), critical=True)
        .sign(key, hashes.SHA256())
    )
    private = key.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption())
    stamper = DummyTimeStamper(
        asn1_x509.Certificate.load(certificate.public_bytes(Encoding.DER)),
        keys.PrivateKeyInfo.load(private),
        fixed_dt=at,
    )

    class Answer(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            asked = tsp.TimeStampReq.load(self.rfile.read(int(self.headers["Content-Length"])))
            body = asyncio.run(stamper.async_request_tsa_response(asked)).dump()
            self.send_response(200)
            self.send_header("Content-Type", "application/timestamp-reply")
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)

        def log_message(self, format: str, *args: Any) -> None:
            """Silent."""

    server = HTTPServer(("127.0.0.1", 0), Answer)
    thread = Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield RunningServer(f"http://127.0.0.1:{server.server_port}", certificate.public_bytes(Encoding.PEM))
    finally:
        server.shutdown()
        thread.join()
        server.server_close()
