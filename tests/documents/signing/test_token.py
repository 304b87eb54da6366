"""A signing key that never leaves its PKCS#11 token; the token is one in software."""

import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

from service.documents.signing.refusal import KeysRefused
from service.documents.signing.signer import Pkcs11Key, signer_of_token
from service.documents.signing.verification import Standing, Trust, examine_file
from tests.conftest import require_tool
from tests.documents.signing.test_signing import AT, document
from tests.signing_keys import authority, signing_key

PIN, TOKEN, LABEL = "246810", "workshop", "release"
_DRIVERS = ("/usr/lib/softhsm/libsofthsm2.so", "/usr/lib/x86_64-linux-gnu/softhsm/libsofthsm2.so")


@pytest.fixture(scope="module")
def driver(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A token with the invented workshop's key and certificate in it; gives its driver."""
    found = next((Path(place) for place in _DRIVERS if Path(place).exists()), None)
    require_tool("SoftHSM", found is not None and shutil.which("softhsm2-util") is not None)
    assert found is not None
    folder = tmp_path_factory.mktemp("token")
    (folder / "tokens").mkdir()
    (folder / "softhsm2.conf").write_text(f"directories.tokendir = {folder / 'tokens'}\nlog.level = ERROR\n")
    before = os.environ.get("SOFTHSM2_CONF")
    os.environ["SOFTHSM2_CONF"] = str(folder / "softhsm2.conf")
    _init(folder)
    _fill(found)
    yield found
    if before is None:
        del os.environ["SOFTHSM2_CONF"]
    else:
        os.environ["SOFTHSM2_CONF"] = before


def _init(folder: Path) -> None:
    util = ["softhsm2-util", "--init-token", "--free", "--label", TOKEN, "--so-pin", PIN, "--pin", PIN]
    subprocess.run(util, check=True, capture_output=True)
    key = signing_key().key.private_bytes(Encoding.PEM, PrivateFormat.PKCS8, NoEncryption())
    (folder / "key.pem").write_bytes(key)
    load = ["--import", str(folder / "key.pem"), "--token", TOKEN, "--label", LABEL, "--id", "01", "--pin", PIN]
    subprocess.run(["softhsm2-util", *load], check=True, capture_output=True)


def _fill(driver: Path) -> None:
    import pkcs11
    from pkcs11.util.x509 import decode_x509_certificate

    token = pkcs11.lib(str(driver)).get_token(token_label=TOKEN)
    with token.open(rw=True, user_pin=PIN) as session:
        for number, (label, one) in enumerate((("authority", authority()), (LABEL, signing_key())), start=1):
            values = decode_x509_certificate(one.certificate.public_bytes(Encoding.DER))
            session.create_object(
                values
                | {pkcs11.Attribute.TOKEN: True, pkcs11.Attribute.LABEL: label, pkcs11.Attribute.ID: bytes([number])}
            )


def test_a_token_signs_what_the_workshops_certificate_verifies(driver: Path) -> None:
    signer = signer_of_token(Pkcs11Key(driver, TOKEN, LABEL, PIN))
    signed = signer.signed(document(), AT, "Released")
    assert examine_file(signed, Trust(authority().public_pem)).standing is Standing.GENUINE


@pytest.mark.parametrize(
    "key",
    [
        Pkcs11Key(Path("/nowhere/driver.so"), TOKEN, LABEL, PIN),
        Pkcs11Key(Path("driver"), "another token", LABEL, PIN),
        Pkcs11Key(Path("driver"), TOKEN, LABEL, "000000"),
        Pkcs11Key(Path("driver"), TOKEN, "another key", PIN),
    ],
)
def test_a_token_that_gives_no_key_is_said(driver: Path, key: Pkcs11Key) -> None:
    place = Pkcs11Key(driver if key.module.name == "driver" else key.module, key.token, key.label, key.pin)
    with pytest.raises(KeysRefused, match=r"gave no key|holds no certificate"):
        signer_of_token(place)
