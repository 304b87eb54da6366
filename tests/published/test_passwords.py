"""What a stored password costs who guesses at it, against RFC 9106, section 4: the second recommended option.

Argon2id of version 0x13 with t = 3 passes, p = 4 lanes, m = 2^16 KiB (64 MiB), a salt of 128 bits, a tag of 256 bits.
https://www.rfc-editor.org/rfc/rfc9106#section-4 (the first recommended option wants 2 GiB for each sign-in).
"""

import base64

import pytest

from service.actions.passwords import hasher  # taken before the tests' cheap one stands in its place

pytestmark = pytest.mark.published


def unpadded(text: str) -> bytes:
    return base64.b64decode(text + "=" * (-len(text) % 4))


def test_a_password_is_stored_at_the_cost_that_the_standard_recommends() -> None:
    kind, version, cost, salt, tag = hasher().hash("a long enough word").strip("$").split("$")
    assert (kind, version) == ("argon2id", f"v={0x13}")
    assert dict(part.split("=") for part in cost.split(",")) == {"m": str(2**16), "t": "3", "p": "4"}
    assert (8 * len(unpadded(salt)), 8 * len(unpadded(tag))) == (128, 256)
