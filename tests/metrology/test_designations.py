"""Designations as they stand on drawings."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.designations import ToleranceClass, fit_classes, tolerance_class
from service.metrology.errors import MetrologyError
from service.metrology.shaft_deviations import SHAFT_LETTERS
from service.metrology.tolerance_grades import GRADES

letters = st.sampled_from([*SHAFT_LETTERS, *(letter.upper() for letter in SHAFT_LETTERS)])
classes = st.builds(ToleranceClass, st.integers(1, 500_000_000), letters, st.sampled_from(GRADES))


@given(classes)
def test_a_class_printed_and_read_again_is_the_same_class(wanted: ToleranceClass) -> None:
    assert tolerance_class(str(wanted)) == wanted


@given(classes, st.sampled_from(["", " ", "  "]), st.sampled_from(["", "Ø", "⌀", "Ø "]))
def test_spaces_the_diameter_sign_and_the_decimal_comma_are_free(wanted: ToleranceClass, gap: str, sign: str) -> None:
    size, _, name = str(wanted).partition(" ")
    assert tolerance_class(f"{sign}{size.replace('.', ',')}{gap}{name}") == wanted


@pytest.mark.parametrize("typed", ["0.85 H9", "0,85H9", "Ø0.85 H9", " 0.850  H 9 "])
def test_a_spray_hole_class_is_read_in_every_spelling(typed: str) -> None:
    found = tolerance_class(typed)
    assert (found.nominal_nm, found.letter, found.grade, found.kind) == (850_000, "H", "9", "hole")
    assert found.nominal_mm == Decimal("0.85")


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("", "designation-unreadable"),
        ("H7", "designation-unreadable"),
        ("25", "designation-unreadable"),
        ("25 H", "designation-unreadable"),
        ("25 H7 g6", "designation-unreadable"),
        ("-25 H7", "designation-unreadable"),
        ("25 H7.5", "designation-unreadable"),
        ("NaN H7", "designation-unreadable"),
        ("٢٥ H7", "designation-unreadable"),
        ("25 " + "H" * 60 + "7", "designation-unreadable"),
        ("25 I7", "class-letter-not-defined"),
        ("25 w7", "class-letter-not-defined"),
        ("25 Js7", "class-letter-not-defined"),
        ("25 H19", "grade-not-defined"),
        ("25 H00", "grade-not-defined"),
        ("0 H7", "nominal-size-outside-table"),
        ("500.001 H7", "nominal-size-outside-table"),
        ("9000 H7", "nominal-size-outside-table"),
        ("25.0000001 H7", "nominal-size-too-fine"),
        ("1.000,5 H7", "number-ambiguous"),
    ],
)
def test_what_is_no_designation_is_refused_with_the_remedy(typed: str, code: str) -> None:
    with pytest.raises(MetrologyError) as refusal:
        tolerance_class(typed)
    assert refusal.value.code == code
    assert refusal.value.field == "designation"


@pytest.mark.parametrize("typed", ["25 H7/g6", "25H7/g6", "Ø25 H7 / g6", "25,0 H7/g6"])
def test_a_fit_has_one_size_a_hole_and_a_shaft(typed: str) -> None:
    hole, shaft = fit_classes(typed)
    assert (str(hole), str(shaft)) == ("25 H7", "25 g6")


@pytest.mark.parametrize(
    ("typed", "code"),
    [
        ("25 H7", "designation-unreadable"),
        ("25 H7/", "designation-unreadable"),
        ("25 H7/25 g6", "designation-unreadable"),
        ("25 H7/g6/f6", "designation-unreadable"),
        ("25 g6/H7", "fit-order"),
        ("25 H7/G6", "fit-order"),
        ("25 h7/g6", "fit-order"),
        ("25 H7/i6", "class-letter-not-defined"),
    ],
)
def test_what_is_no_fit_is_refused_with_the_remedy(typed: str, code: str) -> None:
    with pytest.raises(MetrologyError) as refusal:
        fit_classes(typed)
    assert refusal.value.code == code
