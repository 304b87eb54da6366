"""A signed certificate, read by programs that are not ours."""

import asyncio
import re
import shutil
import subprocess
from datetime import UTC, datetime
from functools import cache
from pathlib import Path

import pytest
from cryptography.hazmat.primitives import serialization

from service.documents.certificate import certificate_pdf
from service.documents.signing.key_making import make_authority, make_signing_key
from service.documents.signing.own_loop import in_own_loop
from service.documents.signing.refusal import KeysRefused, SigningFailed
from service.documents.signing.signer import DocumentSigner, signer_of_file
from service.documents.signing.verification import Standing, Trust, examine_file
from tests.conftest import require_tool
from tests.documents.invented_record import HEADER, worn_injector
from tests.documents.printed import reader_of, words_of
from tests.signing_keys import KEY_PASSWORD, authority, locked_key

AT = datetime(2026, 3, 5, 14, 30, tzinfo=UTC)


@cache
def document() -> bytes:
    """A certificate before it is signed."""
    return certificate_pdf(HEADER, worn_injector())


@cache
def signed() -> bytes:
    """The same, signed."""
    return _signer().signed(document(), AT, "Released")


def _signer(url: str = "") -> DocumentSigner:
    return signer_of_file(locked_key(), KEY_PASSWORD, url)


def test_another_reader_finds_the_signature_valid_over_the_whole_document(tmp_path: Path) -> None:
    """pdfsig is of poppler-utils: an implementation that shares nothing with ours."""
    require_tool("pdfsig", shutil.which("pdfsig") is not None)
    (tmp_path / "signed.pdf").write_bytes(signed())
    told = subprocess.run(["pdfsig", "signed.pdf"], cwd=tmp_path, capture_output=True, text=True, check=False).stdout
    assert "Signature is Valid" in told
    assert "Total document signed" in told
    assert "ETSI.CAdES.detached" in told
    assert re.search(r"Signer Certificate Common Name: Invented Injector Works: release certificates", told)


def test_the_key_is_read_once_however_many_documents_it_signs(monkeypatch: pytest.MonkeyPatch) -> None:
    signer = _signer()
    first = signer.signed(document(), AT, "Released")
    monkeypatch.setattr(serialization, "load_der_private_key", None)
    assert signer.signed(document(), AT, "Released") == first


def test_another_reader_finds_an_altered_document_invalid(tmp_path: Path) -> None:
    require_tool("pdfsig", shutil.which("pdfsig") is not None)
    altered = bytearray(signed())
    altered[len(altered) // 2] ^= 1
    (tmp_path / "altered.pdf").write_bytes(altered)
    told = subprocess.run(["pdfsig", "altered.pdf"], cwd=tmp_path, capture_output=True, text=True, check=False).stdout
    assert "Signature is Valid" not in told


def test_the_signed_file_is_sound_pdf(tmp_path: Path) -> None:
    require_tool("qpdf", shutil.which("qpdf") is not None)
    (tmp_path / "signed.pdf").write_bytes(signed())
    checked = subprocess.run(["qpdf", "--check", "signed.pdf"], cwd=tmp_path, capture_output=True, check=False)
    assert checked.returncode == 0, checked.stdout


def test_the_same_record_gives_the_same_signed_bytes() -> None:
    assert _signer().signed(document(), AT, "Released") == signed()


def test_a_document_is_signed_and_examined_where_an_event_loop_runs_already() -> None:
    async def both() -> Standing:
        again = _signer().signed(document(), AT, "Released")
        assert again == signed()
        return examine_file(again, Trust(authority().public_pem)).standing

    # In a thread of its own, since tests in a browser leave an event loop in this one.
    assert in_own_loop(lambda: asyncio.run(both())) is Standing.GENUINE


def test_signing_changes_nothing_on_the_pages_and_keeps_the_attachment() -> None:
    assert signed().startswith(document())
    assert words_of(signed()) == words_of(document())
    assert reader_of(signed()).attachments.keys() == {"certificate.json"}


def test_the_field_is_out_of_sight_and_printable_as_the_archive_format_asks() -> None:
    """ISO 19005-3, 6.3.2: Print set, Hidden clear; ISO 14289-1, 7.18.1: outside the crop box needs no tag."""
    page = reader_of(signed()).pages[0]
    widget = next(one.get_object() for one in page["/Annots"] if one.get_object()["/Subtype"] == "/Widget")
    assert widget["/F"] & 4
    assert not widget["/F"] & 2
    left, bottom, right, top = (float(edge) for edge in widget["/Rect"])
    box = page.cropbox
    assert right <= box.left
    assert top <= box.bottom
    assert (left, bottom) <= (right, top)


def test_a_wrong_password_opens_no_key() -> None:
    with pytest.raises(KeysRefused, match="does not open the signing key"):
        signer_of_file(locked_key(), "another password")


def test_a_short_password_locks_no_key() -> None:
    with pytest.raises(KeysRefused, match="at least 12"):
        authority().locked("short")


@pytest.mark.parametrize("name", ["", "   ", "x" * 65])
def test_a_workshop_needs_a_name_in_its_keys(name: str) -> None:
    with pytest.raises(KeysRefused, match="1 to 64"):
        make_authority(name, AT)


def test_a_key_is_of_the_authority_and_no_authority_itself() -> None:
    key = make_signing_key(authority(), "Invented Injector Works", AT)
    key.certificate.verify_directly_issued_by(authority().certificate)
    assert key.certificate.serial_number != authority().certificate.serial_number


def test_no_document_is_signed_while_the_time_stamp_server_is_silent() -> None:
    with pytest.raises(SigningFailed, match="time-stamp server gave no stamp"):
        _signer("http://127.0.0.1:9").signed(document(), AT, "Released")
