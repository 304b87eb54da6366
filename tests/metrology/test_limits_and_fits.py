"""Laws of the ISO 286 system that hold for every size, letter and grade."""

from decimal import Decimal

from hypothesis import assume, given
from hypothesis import strategies as st

from service.metrology.designations import ToleranceClass
from service.metrology.errors import MetrologyError
from service.metrology.limits_and_fits import Fit, LimitsOfSize, fit, limits_of_size
from service.metrology.shaft_deviations import SHAFT_LETTERS
from service.metrology.tolerance_grades import GRADES, grade_rank, standard_tolerance_nm

sizes = st.integers(1, 500_000_000)
over_one_mm = st.integers(1_000_001, 500_000_000)
shafts = st.sampled_from(SHAFT_LETTERS)
either = st.sampled_from([*SHAFT_LETTERS, *(letter.upper() for letter in SHAFT_LETTERS)])
grades = st.sampled_from(GRADES)
numbered_grades = st.sampled_from([str(number) for number in range(1, 19)])


def _limits(nominal: int, letter: str, grade: str) -> LimitsOfSize:
    try:
        return limits_of_size(ToleranceClass(nominal, letter, grade))
    except MetrologyError:
        assume(False)
        raise


@given(sizes, either, grades)
def test_a_class_is_as_wide_as_its_standard_tolerance(nominal: int, letter: str, grade: str) -> None:
    limits = _limits(nominal, letter, grade)
    assert limits.tolerance_nm == standard_tolerance_nm(nominal, grade) > 0
    assert limits.max_nm - limits.min_nm == limits.tolerance_nm


@given(over_one_mm, grades)
def test_a_hole_h_begins_and_a_shaft_h_ends_at_the_nominal_size(nominal: int, grade: str) -> None:
    assert _limits(nominal, "H", grade).lower_nm == 0
    assert _limits(nominal, "h", grade).upper_nm == 0


@given(over_one_mm, grades, st.sampled_from(["js", "JS"]))
def test_js_is_symmetric_about_the_nominal_size(nominal: int, grade: str, letter: str) -> None:
    limits = _limits(nominal, letter, grade)
    assert limits.upper_nm == -limits.lower_nm
    assert limits.upper_nm * 2 == standard_tolerance_nm(nominal, grade)


@given(over_one_mm, numbered_grades, st.sampled_from(["a", "b", "c", "cd", "d", "e", "ef", "f", "fg", "g", "h"]))
def test_a_hole_to_h_mirrors_the_shaft_of_its_letter(nominal: int, grade: str, letter: str) -> None:
    hole, shaft = _limits(nominal, letter.upper(), grade), _limits(nominal, letter, grade)
    assert hole.lower_nm == -shaft.upper_nm
    assert hole.upper_nm == -shaft.lower_nm


@given(
    over_one_mm,
    st.sampled_from(["n", "p", "r", "s", "t", "u", "v", "x", "y", "z", "za", "zb", "zc"]),
    st.integers(3, 7),
)
def test_a_hole_n_to_zc_with_a_shaft_one_grade_finer_fits_as_the_mirrored_pair(
    nominal: int, letter: str, grade: int
) -> None:
    # The purpose of Delta over 3 mm: H7/p6 and P7/h6 have the same clearances.
    assume(nominal > 3_000_000)
    finer, coarser = str(grade - 1), str(grade)
    hole_basis = Fit(_limits(nominal, "H", coarser), _limits(nominal, letter, finer))
    shaft_basis = Fit(_limits(nominal, letter.upper(), coarser), _limits(nominal, "h", finer))
    assert hole_basis.clearance_max_nm == shaft_basis.clearance_max_nm
    assert hole_basis.clearance_min_nm == shaft_basis.clearance_min_nm


@given(over_one_mm, st.sampled_from([("a", "b"), ("b", "c"), ("c", "d"), ("e", "f"), ("g", "h")]), grades)
def test_shafts_grow_with_their_letter(nominal: int, letters: tuple[str, str], grade: str) -> None:
    looser, tighter = (_limits(nominal, letter, grade) for letter in letters)
    assert looser.max_nm < tighter.max_nm


@given(over_one_mm, either, grades, grades)
def test_a_coarser_grade_is_wider(nominal: int, letter: str, one: str, other: str) -> None:
    assume(grade_rank(one) < grade_rank(other))
    assert _limits(nominal, letter, one).tolerance_nm < _limits(nominal, letter, other).tolerance_nm


@given(over_one_mm, shafts, st.integers(5, 11), st.integers(5, 11))
def test_a_fit_is_named_by_the_signs_of_its_clearances(nominal: int, letter: str, hole: int, shaft: int) -> None:
    pair = Fit(_limits(nominal, "H", str(hole)), _limits(nominal, letter, str(shaft)))
    assert pair.clearance_max_nm - pair.clearance_min_nm == pair.hole.tolerance_nm + pair.shaft.tolerance_nm
    assert (pair.kind == "clearance") == (pair.clearance_min_nm >= 0)
    assert (pair.kind == "interference") == (pair.clearance_max_nm <= 0)
    assert (pair.kind == "transition") == (pair.clearance_min_nm < 0 < pair.clearance_max_nm)


@given(sizes, either, grades)
def test_millimetres_are_the_nanometres_exactly(nominal: int, letter: str, grade: str) -> None:
    limits = _limits(nominal, letter, grade)
    for millimetres, nanometres in (
        (limits.nominal_mm, limits.nominal_nm),
        (limits.upper_mm, limits.upper_nm),
        (limits.lower_mm, limits.lower_nm),
        (limits.max_mm, limits.max_nm),
        (limits.min_mm, limits.min_nm),
        (limits.tolerance_mm, limits.tolerance_nm),
    ):
        assert isinstance(millimetres, Decimal)
        assert millimetres * 1_000_000 == nanometres


def test_a_least_clearance_of_zero_is_still_a_clearance_fit() -> None:
    pair = fit("25 H7/h6")
    assert (pair.clearance_min_nm, pair.kind) == (0, "clearance")


def test_every_letter_and_grade_over_every_size_has_limits_or_a_refusal_in_words() -> None:
    sizes_nm = [size * 1_000_000 + hair for size in (1, 3, 6, 14, 18, 24, 50, 120, 300, 499) for hair in (0, 1)]
    holes = [letter.upper() for letter in SHAFT_LETTERS]
    refused, given_limits = set(), 0
    for nominal in sizes_nm:
        for letter in (*SHAFT_LETTERS, *holes):
            for grade in GRADES:
                try:
                    limits_of_size(ToleranceClass(nominal, letter, grade))
                    given_limits += 1
                except MetrologyError as refusal:
                    refused.add(refusal.sentence)
    assert given_limits > 15_000
    assert all(sentence.startswith("ISO 286-1 does not") and sentence.endswith(".") for sentence in refused)
    assert "ISO 286-1 does not define 24 t6: it starts over 24 mm." in refused
    assert "ISO 286-1 does not define 50.000001 EF7: it ends at 50 mm." in refused
