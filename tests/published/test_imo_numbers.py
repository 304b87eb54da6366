"""The check digit of ship numbers: IMO Resolution A.1117(30); examples with their sources in `imo_numbers.json`."""

import json
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.imo_number import ImoNumberError, expected_check_digit, imo_number

pytestmark = pytest.mark.published

FIGURES = json.loads((Path(__file__).parent / "imo_numbers.json").read_text(encoding="utf-8"))


@pytest.mark.parametrize("example", FIGURES["ship_examples"], ids=lambda example: example["n"])
def test_a_published_ship_number_is_valid(example: dict[str, object]) -> None:
    number = str(example["n"])
    assert imo_number(number) == number
    assert expected_check_digit(number[:6]) == int(str(example["sum"])) % 10


@pytest.mark.parametrize("number", FIGURES["derived_invalid"])
def test_a_number_with_a_wrong_check_digit_is_refused_with_the_digit_it_should_have(number: str) -> None:
    with pytest.raises(ImoNumberError) as refusal:
        imo_number(number)
    assert refusal.value.code == "imo-check-digit-wrong"
    assert refusal.value.field == "imo_number"
    assert f"check digit is {expected_check_digit(number[:6])}" in refusal.value.sentence


def test_the_check_digit_does_not_see_every_slip() -> None:
    # imo_numbers.json, "weakness": 7625811 and 7605811 differ in one digit and are both valid.
    assert imo_number("7625811") == "7625811"
    assert imo_number("7605811") == "7605811"


def test_a_number_that_only_satisfies_the_arithmetic_is_taken() -> None:
    # imo_numbers.json, "derived_valid_note": 7+12+15+16+15+12 = 77.
    assert imo_number("1234567") == "1234567"


@pytest.mark.parametrize("typed", ["IMO 9074729", "IMO9074729", "imo 9074729", " 9074729 ", "IMO: 9074729"])
def test_the_letters_imo_before_the_number_are_taken(typed: str) -> None:
    assert imo_number(typed) == "9074729"


@pytest.mark.parametrize(
    "typed", ["", "IMO", "907472", "90747290", "9O74729", "9074-729", "٩٠٧٤٧٢٩", "0000000", "MMSI 9074729"]
)
def test_what_is_not_seven_digits_is_refused_with_the_remedy(typed: str) -> None:
    with pytest.raises(ImoNumberError, match="seven digits") as refusal:
        imo_number(typed)
    assert refusal.value.code == "imo-number-unreadable"


@given(st.text("0123456789", min_size=6, max_size=6).filter(lambda six: int(six) > 0), st.integers(1, 9))
def test_of_ten_last_digits_exactly_the_expected_one_is_valid(six: str, wrong_by: int) -> None:
    right = expected_check_digit(six)
    assert imo_number(f"{six}{right}") == f"{six}{right}"
    with pytest.raises(ImoNumberError):
        imo_number(f"{six}{(right + wrong_by) % 10}")


@pytest.mark.parametrize("six", ["12345", "1234567", "12345x", ""])
def test_a_check_digit_belongs_to_six_digits(six: str) -> None:
    with pytest.raises(ImoNumberError, match="six digits"):
        expected_check_digit(six)
