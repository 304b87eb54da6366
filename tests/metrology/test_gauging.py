"""Gauge pins in a spray hole."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.errors import MetrologyError
from service.metrology.gauging import HoleBracket, PinPass, bracket_hole

thousandths = st.integers(1, 3000)


def _mm(thousandth: int) -> Decimal:
    return Decimal(thousandth) / 1000


def _try_pins(hole: int, pins: list[int]) -> list[PinPass]:
    """A pin enters a hole of its own size or larger."""
    return [PinPass(_mm(pin), pin <= hole) for pin in pins]


@given(thousandths, st.lists(thousandths, min_size=1, max_size=12))
def test_the_bracket_holds_the_hole_whatever_pins_are_tried_in_whatever_order(hole: int, pins: list[int]) -> None:
    bracket = bracket_hole("1", _try_pins(hole, pins))
    if bracket.largest_entering_mm is not None:
        assert bracket.largest_entering_mm <= _mm(hole)
    if bracket.smallest_refused_mm is not None:
        assert _mm(hole) < bracket.smallest_refused_mm
    assert bracket == bracket_hole("1", list(reversed(_try_pins(hole, pins))))


@given(thousandths, st.lists(thousandths, min_size=1, max_size=8), thousandths)
def test_one_more_pin_never_widens_the_bracket(hole: int, pins: list[int], one_more: int) -> None:
    before = bracket_hole("1", _try_pins(hole, pins)).width_mm
    after = bracket_hole("1", _try_pins(hole, [*pins, one_more])).width_mm
    if before is not None:
        assert after is not None
        assert Decimal(0) < after <= before


@given(thousandths, thousandths)
def test_a_pin_that_enters_above_one_that_does_not_is_refused_with_the_hole_and_both_pins(one: int, other: int) -> None:
    smaller, larger = sorted((one, other))
    with pytest.raises(MetrologyError) as refusal:
        bracket_hole("7", [PinPass(_mm(smaller), False), PinPass(_mm(larger), True)])
    assert refusal.value.code == "pins-contradict"
    assert refusal.value.field == "pins"
    assert refusal.value.sentence.startswith("Hole 7")
    assert f"{_mm(larger).normalize():f} mm" in refusal.value.sentence
    assert f"{_mm(smaller).normalize():f} mm" in refusal.value.sentence


def test_a_pin_that_does_not_enter_between_two_that_do_is_refused() -> None:
    passes = [PinPass(Decimal("0.84"), True), PinPass(Decimal("0.85"), False), PinPass(Decimal("0.86"), True)]
    with pytest.raises(MetrologyError, match=r"0\.86 mm pin enters but the smaller 0\.85 mm pin does not"):
        bracket_hole("3", passes)


def test_the_same_pin_twice_with_one_answer_counts_once() -> None:
    pin = PinPass(Decimal("0.85"), True)
    assert bracket_hole("3", [pin, pin]) == bracket_hole("3", [pin])


def test_without_a_pin_that_stays_out_the_bracket_is_open_above() -> None:
    assert bracket_hole("1", [PinPass(Decimal("0.85"), True)]) == HoleBracket(Decimal("0.85"), None)
    assert bracket_hole("1", [PinPass(Decimal("0.85"), False)]) == HoleBracket(None, Decimal("0.85"))


def test_a_hole_without_a_pin_is_not_gauged() -> None:
    with pytest.raises(MetrologyError, match="Hole 4 has no pin") as refusal:
        bracket_hole("4", [])
    assert refusal.value.code == "hole-not-gauged"


@pytest.mark.parametrize("size", ["0", "-0.85", "NaN", "Infinity"])
def test_a_pin_without_a_size_is_refused(size: str) -> None:
    with pytest.raises(MetrologyError) as refusal:
        bracket_hole("4", [PinPass(Decimal(size), True)])
    assert refusal.value.code == "pin-size-not-positive"
