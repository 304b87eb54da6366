"""Serial numbers have one spelling."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.serial_number import SerialNumberError, serial_number


@pytest.mark.parametrize(("typed", "stored"), [(" ab-12  3 ", "AB-12 3"), ("x", "X"), ("1/2.3", "1/2.3")])
def test_a_serial_is_stored_in_capitals_with_single_blanks(typed: str, stored: str) -> None:
    assert serial_number(typed) == stored


@pytest.mark.parametrize("typed", ["", "   ", "-1", "A" * 41, "Ä1", "a\x00b", "１２", "<b>"])
def test_what_no_marking_can_be_is_refused_by_its_field(typed: str) -> None:
    with pytest.raises(SerialNumberError) as refusal:
        serial_number(typed, "injectors.0.serial")
    assert refusal.value.field == "injectors.0.serial"


@given(st.text(max_size=50))
def test_a_stored_serial_is_stored_again_as_it_is(text: str) -> None:
    try:
        stored = serial_number(text)
    except SerialNumberError:
        return
    assert serial_number(stored) == stored
