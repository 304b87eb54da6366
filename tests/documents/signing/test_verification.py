"""What a stranger may hand in as a certificate, and what it is told to be."""

import json
import re
import zlib
from datetime import UTC, datetime, timedelta
from functools import cache

import pytest

from service.documents.signing.key_making import (
    RevokedKey,
    make_authority,
    make_signing_key,
    revocation_list,
    revoked_keys,
)
from service.documents.signing.refusal import KeysRefused
from service.documents.signing.signer import signer_of_file
from service.documents.signing.verification import Standing, Trust, examine_file
from tests.documents.invented_record import HEADER
from tests.documents.signing.test_signing import AT, document, signed
from tests.documents.signing.time_stamp_server import time_stamp_server
from tests.signing_keys import KEY_PASSWORD, MADE_AT, authority, locked_key, signing_key


def trust(revoked: bytes = b"", stamp_roots: bytes = b"") -> Trust:
    """Trust in the invented workshop."""
    return Trust(authority().public_pem, revoked, stamp_roots)


def revoked_since(moment: datetime) -> bytes:
    """The workshop's list with its signing key on it."""
    return revocation_list(authority(), [RevokedKey(signing_key().certificate.serial_number, moment)], AT)


def test_the_file_as_issued_is_genuine_and_says_what_it_is_for() -> None:
    found = examine_file(signed(), trust())
    assert found.standing is Standing.GENUINE
    assert found.signed_at == AT
    assert "Invented Injector Works" in found.signer
    assert found.facts is not None
    assert found.facts["certificate"]["serial"] == HEADER.serial


def test_every_altered_byte_is_found_out() -> None:
    """Two hundred places over the whole file. The signature's own container is outside what it signs (ISO 32000-1,
    12.8.1): pages and record are not in it, and the comparison with the bytes as issued finds a change there too.
    """
    content = signed()
    kept = re.search(rb"/Contents <([0-9A-Fa-f]+)>", content)
    assert kept is not None
    believed = []
    for place in range(0, len(content), len(content) // 200):
        altered = bytearray(content)
        altered[place] ^= 0x01
        if examine_file(bytes(altered), trust()).standing is Standing.GENUINE:
            believed.append(place)
    assert [place for place in believed if not kept.start(1) <= place < kept.end(1)] == []


def test_bytes_added_at_the_end_are_found_out() -> None:
    assert examine_file(signed() + b"\n% another page", trust()).standing is Standing.ALTERED


def test_an_altered_attachment_is_found_out() -> None:
    """The record attached is packed anew with another serial, in the same space, so that the file stays readable."""
    content, serial = signed(), HEADER.serial
    found = re.search(rb"/Length (\d+)/Type/EmbeddedFile.{0,200}?stream\n", content, re.DOTALL)
    assert found is not None
    packed = content[found.end() : found.end() + int(found[1])]
    record = json.loads(zlib.decompress(packed))
    record["certificate"]["serial"] = other = serial[::-1]
    forged = zlib.compress(json.dumps(record, separators=(",", ":")).encode(), 9)
    assert len(forged) <= len(packed)
    altered = content[: found.end()] + forged.ljust(len(packed), b"\0") + content[found.end() + len(packed) :]
    seen = examine_file(altered, trust())
    assert seen.facts is not None
    assert seen.facts["certificate"]["serial"] == other
    assert seen.standing is Standing.ALTERED


def test_a_signature_taken_from_another_certificate_is_found_out() -> None:
    other = document().replace(b"%PDF-1.7", b"%PDF-1.6", 1)
    replayed = other + signed()[len(document()) :]
    assert len(replayed) == len(signed())
    assert examine_file(replayed, trust()).standing is Standing.ALTERED


def test_an_unsigned_certificate_is_not_believed() -> None:
    assert examine_file(document(), trust()).standing is Standing.UNSIGNED


@pytest.mark.parametrize("content", [b"", b"no PDF at all", b"%PDF-1.7\n%%EOF", b"%PDF-1.7\nstartxref\n9999\n%%EOF"])
def test_what_is_no_pdf_is_said_to_be_none(content: bytes) -> None:
    assert examine_file(content, trust()).standing is Standing.NO_PDF


@cache
def _foreign() -> tuple[bytes, bytes]:
    stranger = make_authority("Invented Injector Works", MADE_AT)
    key = make_signing_key(stranger, "Invented Injector Works", MADE_AT)
    return signer_of_file(key.locked(KEY_PASSWORD), KEY_PASSWORD).signed(
        document(), AT, "Released"
    ), stranger.public_pem


def test_a_signature_by_somebody_of_the_same_name_is_foreign() -> None:
    content, public = _foreign()
    assert examine_file(content, trust()).standing is Standing.FOREIGN
    assert examine_file(content, Trust(public)).standing is Standing.GENUINE


def test_a_revoked_key_is_not_believed_whatever_date_it_claims() -> None:
    """A thief sets the clock back: the date inside the signature proves nothing by itself."""
    found = examine_file(signed(), trust(revoked_since(AT + timedelta(days=30))))
    assert found.standing is Standing.REVOKED
    assert found.revoked_since == AT + timedelta(days=30)


def test_a_time_stamp_proves_that_a_key_signed_before_it_was_revoked() -> None:
    with time_stamp_server(AT) as server:
        stamped = signer_of_file(locked_key(), KEY_PASSWORD, server.url).signed(document(), AT, "Released")
    later = revoked_since(AT + timedelta(days=30))
    assert examine_file(stamped, trust(later, server.root_pem)).standing is Standing.GENUINE
    assert examine_file(stamped, trust(later, server.root_pem)).stamped
    assert examine_file(stamped, trust(later)).standing is Standing.REVOKED
    earlier = revoked_since(AT - timedelta(days=30))
    assert examine_file(stamped, trust(earlier, server.root_pem)).standing is Standing.REVOKED


def test_a_key_rotated_away_stays_believed() -> None:
    new = make_signing_key(authority(), "Invented Injector Works", AT)
    content = signer_of_file(new.locked(KEY_PASSWORD), KEY_PASSWORD).signed(document(), AT, "Released")
    assert examine_file(content, trust()).standing is Standing.GENUINE
    assert examine_file(signed(), trust()).standing is Standing.GENUINE


def test_a_moment_outside_the_life_of_the_key_is_not_believed() -> None:
    early = signer_of_file(locked_key(), KEY_PASSWORD).signed(document(), MADE_AT - timedelta(days=9), "Released")
    late = signer_of_file(locked_key(), KEY_PASSWORD).signed(document(), MADE_AT + timedelta(days=9999), "Released")
    assert examine_file(early, trust()).standing is not Standing.GENUINE
    assert examine_file(late, trust()).standing is not Standing.GENUINE


def test_a_list_of_revoked_keys_by_a_stranger_is_refused() -> None:
    stranger = make_authority("Somebody else", MADE_AT)
    forged = revocation_list(stranger, [], AT)
    with pytest.raises(KeysRefused, match="not signed by this workshop"):
        examine_file(signed(), trust(forged))


def test_a_list_keeps_who_is_on_it() -> None:
    listed = revoked_keys(revoked_since(datetime(2026, 4, 1, tzinfo=UTC)))
    assert listed == (RevokedKey(signing_key().certificate.serial_number, datetime(2026, 4, 1, tzinfo=UTC)),)


def test_trust_without_a_certificate_is_refused() -> None:
    with pytest.raises(KeysRefused, match="no certificate"):
        examine_file(signed(), Trust(b"nothing"))


def test_the_attached_record_is_json_of_its_own() -> None:
    found = examine_file(signed(), trust())
    assert json.loads(json.dumps(found.facts)) == found.facts
