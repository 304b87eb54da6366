"""Roundness as a characteristic: the sheet's circle and filter, three verdicts, and what cannot be judged."""

import math
from dataclasses import replace
from decimal import Decimal as D

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from service.metrology.errors import DomainError
from service.workshop.decision_rule import DecisionRule
from service.workshop.examination import examine
from service.workshop.limit_sheet import RoundnessCharacteristic
from service.workshop.measurements import Outcome, RoundnessMeasurement
from service.workshop.reading_budget import form_budget
from service.workshop.section_profile import MOST_ROWS, profile_from_rows, profile_from_text
from service.workshop.sheet_checks import sheet_faults
from service.workshop.vocabulary import Disposition, ProfileColumns, RoundnessReference, VerdictKind
from tests.round_sheet import (
    BY_MICROMETER,
    FORM_TESTER,
    NEAR,
    ROUND,
    ROUND_SHEET,
    ROUNDNESS,
    THREE_LOBED,
    points_of,
    text_of,
    with_roundness,
)
from tests.small_findings import sizes
from tests.small_sheet import INSTRUMENTS

CONFORMS, NOT_PROVEN, FAILS = VerdictKind.CONFORMS, VerdictKind.NOT_PROVEN, VerdictKind.DOES_NOT_CONFORM
POINTS, TRACE = ProfileColumns.POINTS, ProfileColumns.TRACE


def judged(measured: RoundnessMeasurement, item: RoundnessCharacteristic = ROUNDNESS, guard: str = "1") -> Outcome:
    return examine(item, measured, DecisionRule(D(guard)))


def measured(text: str, columns: ProfileColumns = POINTS) -> RoundnessMeasurement:
    profile = profile_from_text(text, columns)
    return RoundnessMeasurement(columns=profile.columns, rows=profile.rows, instrument=FORM_TESTER)


def refusal(text: str, columns: ProfileColumns = POINTS, item: RoundnessCharacteristic = ROUNDNESS) -> DomainError:
    with pytest.raises(DomainError) as refused:
        judged(measured(text, columns), item)
    return refused.value


@pytest.mark.parametrize(
    ("found", "verdict", "consequence"),
    [
        (ROUND, CONFORMS, None),
        (NEAR, NOT_PROVEN, Disposition.REPLACE_ASSEMBLY),
        (THREE_LOBED, FAILS, Disposition.REPLACE_ASSEMBLY),
    ],
)
def test_a_section_comes_to_each_of_the_three_verdicts(
    found: RoundnessMeasurement, verdict: VerdictKind, consequence: Disposition | None
) -> None:
    outcome = judged(found)
    assert (outcome.verdict, outcome.consequence) == (verdict, consequence)
    assert outcome.rule == "ISO 14253-1, guard band 1 × U"


def test_the_verdict_says_value_limit_circle_and_filter() -> None:
    outcome = judged(THREE_LOBED)
    assert outcome.value == "roundness deviation 0.008 mm"
    assert outcome.limit == "at most 0.004 mm (minimum zone circles, no filter)"
    assert outcome.sentence.startswith("Roundness deviation: 0.008 mm is beyond the limit")
    filtered = with_roundness(RoundnessReference.LEAST_SQUARES, 10)
    assert judged(THREE_LOBED, filtered).limit.endswith("(least squares circle, filter 10 undulations per revolution)")


@pytest.mark.parametrize("reference", RoundnessReference)
def test_the_sheet_names_the_circle_that_the_deviation_is_taken_from(reference: RoundnessReference) -> None:
    # One point 10 µm out: only the minimum zone and the least-squares circle split it, so the values differ.
    points = points_of({})
    points[0] = (points[0][0] + 0.010, points[0][1])
    outcome = judged(measured(text_of(points)), with_roundness(reference))
    expected = {"minimum-zone": 10, "least-squares": 10, "minimum-circumscribed": 10, "maximum-inscribed": 10}
    found_um = float(outcome.value.split()[2]) * 1000
    assert found_um == pytest.approx(expected[reference.value], rel=0.06)
    zone = float(judged(measured(text_of(points)), ROUNDNESS).value.split()[2]) * 1000
    assert zone <= found_um + 1e-9, "no circle gives less than the minimum zone"


def test_a_filter_takes_the_roughness_off_that_no_guide_minds() -> None:
    rough = measured(text_of(points_of({2: 1.0, 120: 3.0}, 1440)))
    assert judged(rough).verdict is FAILS
    assert judged(rough, with_roundness(cutoff_upr=15)).verdict is CONFORMS


def test_a_trace_about_an_eccentric_spindle_is_judged_as_its_points_are() -> None:
    # The same section: as points, and as radii about a centre 0.3 mm off.
    points = np.asarray(points_of({3: 4.0}, 360))
    off = points - (0.3, -0.1)
    radii, turns = np.hypot(*off.T), np.degrees(np.arctan2(off[:, 1], off[:, 0]))
    rows = "\n".join(f"{turn:.9f};{radius:.9f}" for turn, radius in zip(turns, radii, strict=True))
    assert judged(measured(rows, TRACE)) == judged(measured(text_of(points_of({3: 4.0}, 360))))


def test_the_uncertainty_is_that_of_the_form_value() -> None:
    # A roundness instrument states it (0.4 µm, k = 2); of resolution 0.01 µm a rectangle of ± 0.005 µm.
    budget = form_budget(FORM_TESTER)
    assert float(budget.combined) == pytest.approx(math.hypot(0.0002, 0.000005 / math.sqrt(3)), rel=1e-4)
    assert budget.expanded >= FORM_TESTER.expanded_uncertainty
    # Any other instrument reads two radii, each with U = 0.001 mm: at least 0.001·√2.
    assert form_budget(INSTRUMENTS["MIC-1"]).expanded >= D("0.00141")
    outcome = judged(replace(BY_MICROMETER, rows=NEAR.rows))
    assert "U = 0.0015 mm" in outcome.sentence
    assert outcome.uncertainty == form_budget(INSTRUMENTS["MIC-1"])
    # 3.8 µm against 4 µm with u of 0.71 µm: a normal distribution function of 0.2/0.71 (SciPy).
    assert outcome.probability_of_conformity is not None
    assert float(outcome.probability_of_conformity) == pytest.approx(norm.cdf(0.2 / 0.71), abs=0.01)


def test_a_section_judged_again_is_judged_with_the_uncertainty_that_was_kept() -> None:
    kept = form_budget(replace(FORM_TESTER, expanded_uncertainty=D("0.003")))
    again = examine(ROUNDNESS, ROUND, DecisionRule(), kept)
    assert (again.verdict, again.uncertainty) == (NOT_PROVEN, kept)


TURN = st.floats(-360, 360)
SHIFT = st.floats(-500, 500)


@settings(deadline=None, max_examples=60)
@given(
    st.dictionaries(st.integers(2, 12), st.floats(0.1, 3), min_size=1, max_size=4),
    TURN,
    SHIFT,
    SHIFT,
    st.sampled_from(list(RoundnessReference)),
    st.sampled_from([None, 5]),
)
def test_the_verdict_stays_however_the_part_lies_in_the_instrument(
    lobes_um: dict[int, float], turned_deg: float, x: float, y: float, reference: RoundnessReference, cutoff: int | None
) -> None:
    item = with_roundness(reference, cutoff)

    def found(points: list[tuple[float, float]]) -> Outcome:
        return judged(measured("\n".join(f"{a!r};{b!r}" for a, b in points)), item)

    lying, turned = found(points_of(lobes_um)), found(points_of(lobes_um, at=(x, y), turned_deg=turned_deg))
    values = [D(one.value.split()[2]) for one in (lying, turned)]
    # The filter draws the profile through evenly first, which a turn shifts by a part of a reading.
    near = D("0.00001") if cutoff is None else D("0.0002")
    assert abs(values[0] - values[1]) <= near
    band = form_budget(FORM_TESTER).expanded
    assume(all(abs(values[0] - edge) > near for edge in (item.limit - band, item.limit + band)))
    assert (turned.verdict, turned.consequence) == (lying.verdict, lying.consequence)


@pytest.mark.parametrize(
    ("text", "columns", "code", "said"),
    [
        ("", POINTS, "points-missing", "The list of points is empty"),
        ("x;y\n", POINTS, "points-missing", "a header and no point"),
        ("1;0\n0;one\n", POINTS, "points-unreadable", "Line 2 reads “one”"),
        ("1;0\n0;nan\n-1;0", POINTS, "points-unreadable", "Line 2 reads “nan”"),
        ("1;0;3\n", POINTS, "points-unreadable", "Line 1 has 3 values where x and y in mm are two"),
        ("1;0;3\n", TRACE, "points-unreadable", "where direction in degrees and radius in mm are two"),
        ("x µm;y µm\n1;0\n", POINTS, "points-unit", "The header names µm"),
        ("1;0\n2;0\n3;0\n4;0", POINTS, "points-in-line", "on one straight line"),
        ("\n".join(["1;0"] * 9), POINTS, "points-in-one-place", "in one place"),
        ("1;0\n0;1", POINTS, "too-few-points", "at least three points"),
        (text_of(points_of({2: 1}, 6)), POINTS, "directions-too-sparse", "6 directions"),
        (text_of(points_of({2: 1}, 6) * 3), POINTS, "directions-too-sparse", "Repeated points count once"),
        (text_of(points_of({2: 1}, 72)[:40]), POINTS, "directions-too-sparse", "measure all round"),
        ("0;3\n90;3\n360;3\n", TRACE, "direction-twice", "0° and 360° are one"),
        ("0;3\n90;-0.002\n180;3\n", TRACE, "radius-not-positive", "take the whole radius"),
        (text_of(points_of({2: 1}, radius_mm=400)), POINTS, "magnitude-absurd", "check the digits"),
        (text_of(points_of({2: 1}, MOST_ROWS + 1)), POINTS, "too-many-rows", "a peak could be lost"),
    ],
)
def test_a_profile_that_cannot_be_judged_is_refused_with_the_remedy(
    text: str, columns: ProfileColumns, code: str, said: str
) -> None:
    refused = refusal(text, columns)
    assert (refused.code, refused.field in ("points", "trace")) == (code, True)
    assert said in refused.sentence


def test_too_few_points_for_the_sheets_filter_are_refused() -> None:
    refused = refusal(text_of(points_of({2: 1}, 72)), item=with_roundness(cutoff_upr=50))
    assert "needs 350 directions or more, and there are 72" in refused.sentence


def test_another_kind_of_measurement_is_refused() -> None:
    with pytest.raises(DomainError, match="recorded in another way"):
        examine(ROUNDNESS, sizes("MIC-1", "6.0"), DecisionRule())


def test_what_was_measured_is_kept_digit_for_digit() -> None:
    text = "x;y\n" + text_of(points_of({3: 4.0}, 36)).replace(".", ",")
    assert profile_from_text(text, POINTS).rows.splitlines()[0] == "3.004;0.0"
    assert measured(text).rows == measured(measured(text).rows).rows
    rows = [(D("0.00"), D("3.0040")), (D(90), D("3.002")), (D(180), D("3.003")), (D(270), D("3.001"))]
    assert profile_from_rows(rows, TRACE).rows.splitlines()[0] == "0;3.004"


def test_the_sheet_is_checked() -> None:
    def faults(**fields: object) -> set[str]:
        items = (*ROUND_SHEET.characteristics[:-1], replace(ROUNDNESS, **fields))  # type: ignore[arg-type]
        return {fault.sentence for fault in sheet_faults(replace(ROUND_SHEET, characteristics=items))}

    assert faults() == set()
    assert faults(limit=D(0)) == {"Roundness needs a limit above 0 mm."}
    assert faults(instruments=()) == {"Name the kinds of instrument that may measure this."}
    for cutoff in (1, 501):
        assert faults(cutoff_upr=cutoff) == {"The filter's cut-off lies between 2 and 500 undulations per revolution."}
    assert faults(cutoff_upr=500) == set()
    assert math.ceil(7 * 500) <= MOST_ROWS, "the finest filter has room in what is kept"
