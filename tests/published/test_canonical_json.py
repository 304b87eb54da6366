"""The journal's canonical text against RFC 8785 (June 2020) and an independent implementation of it.

The implementation is the package `rfc8785` by Trail of Bits, which shares no code with ours.
"""

import json

import pytest
import rfc8785
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.journal_chain import COLUMNS, row_text

pytestmark = pytest.mark.published

TEXT = st.text(st.characters(exclude_categories=["Cs"]))
"""Any sign but half a surrogate pair: RFC 8785, 3.2.2.2, has those refused."""


def test_a_text_is_escaped_as_the_standards_example_shows_it() -> None:
    """RFC 8785, 3.2.2: the member "string" of the sample object, and its serialisation in 3.2.2.2."""
    given_text = json.loads(r'"\u20ac$\u000F\u000aA' + r"'\u0042\u0022\u005c\\\"\/" + '"')
    canonical = '"€$' + r"\u000f\nA'B\"\\\\\"/" + '"'
    written = row_text("", "", "", "", 1, None, "", given_text, "", "")
    assert f'"reason":{canonical},' in written


@given(st.lists(TEXT, min_size=8, max_size=8), st.integers(1, 2**53 - 1), st.none() | st.integers(1, 2**53 - 1))
def test_any_row_has_the_canonical_text_of_the_independent_implementation(
    texts: list[str], row_id: int, person_id: int | None
) -> None:
    action, after, at, before, person_name, reason, subject_id, subject_kind = texts
    row = (action, after, at, before, row_id, person_id, person_name, reason, subject_id, subject_kind)
    assert row_text(*row).encode() == rfc8785.dumps(dict(zip(COLUMNS[:10], row, strict=True)))
