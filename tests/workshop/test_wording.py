"""What people typed, put into sentences."""

import pytest

from service.workshop.wording import as_sentence


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [("opened low", "opened low."), ("Opened low.", "Opened low."), (" Why? ", "Why?"), ("", "")],
)
def test_a_typed_reason_ends_as_a_sentence_before_the_next_one(typed: str, sentence: str) -> None:
    assert as_sentence(typed) == sentence
