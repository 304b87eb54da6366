"""Typed numbers: the decimal comma, and everything that must not be guessed at."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import field_in_words, grouped, parse_decimal, plain

numbers = st.decimals(min_value=-(10**9), max_value=10**9, places=6)


@given(numbers)
def test_a_number_printed_and_typed_again_is_the_same_number(number: Decimal) -> None:
    assert parse_decimal(plain(number), "size") == number


@given(numbers)
def test_a_decimal_comma_is_a_decimal_point(number: Decimal) -> None:
    text = plain(number)
    assert parse_decimal(text.replace(".", ","), "size") == parse_decimal(text, "size")


@pytest.mark.parametrize(
    ("typed", "expected"),
    [
        ("0,010", "0.010"),
        (" 0.85 ", "0.85"),
        ("+5", "5"),
        ("-5", "-5"),
        ("−5", "-5"),
        (".5", "0.5"),
        (",5", "0.5"),
        ("5.", "5"),
        ("8.5e-1", "0.85"),
        ("1E3", "1000"),
        ("0", "0"),
    ],
)
def test_what_a_technician_types_is_read_exactly(typed: str, expected: str) -> None:
    assert parse_decimal(typed, "size") == Decimal(expected)


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("", "number-missing"),
        ("   ", "number-missing"),
        ("1.234,5", "number-ambiguous"),
        ("1,234.5", "number-ambiguous"),
        ("1,234,567", "number-ambiguous"),
        ("1.2.3", "number-ambiguous"),
        ("NaN", "number-unreadable"),
        ("sNaN", "number-unreadable"),
        ("inf", "number-unreadable"),
        ("-Infinity", "number-unreadable"),
        ("0x1F", "number-unreadable"),
        ("1_000", "number-unreadable"),
        ("1 000", "number-unreadable"),
        ("١٢", "number-unreadable"),
        ("½", "number-unreadable"),
        ("--5", "number-unreadable"),
        ("5e", "number-unreadable"),
        (".", "number-unreadable"),
        ("1e9999", "number-unreadable"),
        ("9" * 41, "number-unreadable"),
        ("1e13", "number-out-of-range"),
        ("1e-13", "number-out-of-range"),
        ("0e-999", "number-out-of-range"),
    ],
)
def test_what_cannot_be_meant_is_refused_by_its_field(typed: str, code: str) -> None:
    with pytest.raises(MetrologyError) as refusal:
        parse_decimal(typed, "seat_diameter")
    assert refusal.value.code == code
    assert refusal.value.field == "seat_diameter"
    assert refusal.value.sentence.startswith("Seat diameter ")
    assert str(refusal.value) == refusal.value.sentence


@pytest.mark.parametrize(
    ("number", "printed"),
    [
        ("25.00", "25"),
        ("0.850", "0.85"),
        ("3.5E+2", "350"),
        ("-0.0", "0"),
        ("100", "100"),
        ("NaN", "NaN"),
        ("-5", "-5"),
    ],
)
def test_a_number_is_printed_short_and_without_an_exponent(number: str, printed: str) -> None:
    assert plain(Decimal(number)) == printed


def test_a_field_is_named_in_words() -> None:
    assert field_in_words("opening_pressure") == "Opening pressure"
    assert field_in_words("opening_pressure_bar") == "Opening pressure"
    assert field_in_words("viscosity_mm2_s") == "Viscosity"
    assert field_in_words("forces_n-2") == "Forces 2"
    assert field_in_words("bar_per_mm") == "Bar per mm"
    assert field_in_words("") == "Number"


def test_thousands_stand_apart_by_a_hard_space_since_a_comma_is_read_as_a_decimal_sign() -> None:
    assert grouped(900) == "900"
    assert grouped(1_234_567).split("\N{NO-BREAK SPACE}") == ["1", "234", "567"]
