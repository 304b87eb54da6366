"""Spray holes by calibrated gauge pins: brackets, spread, flow area, and what becomes of a pin that is not its mark."""

import math
from dataclasses import replace
from decimal import Decimal as D

import pytest

from service.workshop.examination.pins_tried import PinsContradict
from service.workshop.vocabulary import Disposition, VerdictKind
from tests.small_findings import pins
from tests.workshop.gauged_holes import ITEM, gauged, judged, nozzle, sheet

CONFORMS, NOT_PROVEN, FAILS = VerdictKind.CONFORMS, VerdictKind.NOT_PROVEN, VerdictKind.DOES_NOT_CONFORM


def test_each_hole_is_kept_as_a_bracket_of_calibrated_diameters_widened_by_their_uncertainty() -> None:
    outcome = judged(ITEM, gauged("eennn", "eennn", "eeenn", "ee..n", d85="0.8496", d86="0.8603"))
    first, third, fourth = (nozzle(outcome).holes[place] for place in (0, 2, 3))
    assert (first.entering, first.refused) == (D("0.8496"), D("0.8603"))
    assert (first.lower, first.upper) == (D("0.8486"), D("0.8613"))
    assert first.best == D("0.85495")
    # Rectangle of 10.7 µm and two pins with u = 0.5 µm each, of one calibration: JCGM 100, 4.3.7 and 5.2.2.
    assert float(first.uncertainty or 0) == pytest.approx(2 * math.hypot(0.0107 / math.sqrt(12), 0.0005), abs=1e-4)
    assert (third.entering, third.refused) == (D("0.8603"), D("0.87"))
    assert (fourth.lower, fourth.upper) == (D("0.8486"), D("0.881"))
    assert nozzle(outcome).calibrated
    assert "by calibrated diameters" in outcome.rule


def test_pins_without_calibrated_diameters_count_by_their_marks_and_the_verdict_says_so() -> None:
    outcome = judged(ITEM, pins())
    assert not nozzle(outcome).calibrated
    assert (nozzle(outcome).holes[0].lower, nozzle(outcome).holes[0].upper) == (D("0.849"), D("0.881"))
    assert "calibrated" not in outcome.rule


def test_a_reject_pin_worn_under_its_mark_rejects_nothing_by_itself() -> None:
    outcome = judged(ITEM, gauged("eennn", "eennn", "eeeee", "eennn", d88="0.8785"))
    assert outcome.verdict is NOT_PROVEN
    assert (outcome.failed_holes, outcome.unproven_holes) == ((3,), (3,))
    assert "worn under its mark and enters good holes too: gauge again with a sound one" in outcome.sentence
    assert outcome.consequence is Disposition.REPLACE


def test_a_worn_reject_pin_that_stays_out_proves_the_hole_all_the_more() -> None:
    assert judged(ITEM, gauged("ee..n", "ee..n", "ee..n", "ee..n", d88="0.8785")).verdict is CONFORMS


def test_a_reject_pin_over_its_mark_that_stays_out_proves_nothing_unless_a_smaller_one_does() -> None:
    alone = gauged("ee..n", "ee..n", "ee..n", "ee..n", d88="0.8825")
    assert judged(ITEM, alone).verdict is NOT_PROVEN
    assert judged(ITEM, gauged("ee.nn", "ee.nn", "ee.nn", "ee.nn", d88="0.8825")).verdict is CONFORMS


def test_a_worn_go_pin_that_enters_proves_nothing_unless_a_larger_one_does() -> None:
    worn = judged(ITEM, gauged("een.n", "een.n", "een.n", "een.n", d85="0.8480"))
    assert worn.verdict is NOT_PROVEN
    assert worn.consequence is Disposition.REWORK
    assert judged(ITEM, gauged("eeenn", "eeenn", "eeenn", "eeenn", d85="0.8480")).verdict is CONFORMS


def test_a_pin_within_its_uncertainty_of_its_mark_is_what_its_mark_says() -> None:
    whole = gauged("een.n", "een.n", "een.n", "een.n", d85="0.8492", d88="0.8808")
    assert judged(ITEM, whole).verdict is CONFORMS
    enters = gauged("een.n", "een.n", "een.n", "eeeee", d85="0.8492", d88="0.8792")
    assert judged(ITEM, enters).verdict is FAILS


@pytest.mark.parametrize(
    ("designation", "hole", "verdict"),
    [
        # 0.85 H11 is 0.850 to 0.910 mm, 0.84 H11 is 0.840 to 0.900 mm (ISO 286-2).
        ("0.84 H11", "een.n", CONFORMS),
        ("0.85 H11", "een.n", NOT_PROVEN),
        ("0.85 H11", "eeenn", CONFORMS),
        ("0.84 H11", "eeeee", FAILS),
        ("0.84 H11", "enn.n", FAILS),
    ],
)
def test_a_class_on_the_sheet_wants_the_whole_bracket_inside(designation: str, hole: str, verdict: VerdictKind) -> None:
    outcome = judged(sheet(designation=designation), gauged("eeenn", "eeenn", hole, "eeenn"))
    assert outcome.verdict is verdict
    assert f"({designation})" in outcome.limit
    assert "ISO 14253-1" in outcome.rule


@pytest.mark.parametrize(("limit", "verdict"), [("0.021", NOT_PROVEN), ("0.022", CONFORMS), ("0.050", CONFORMS)])
def test_holes_alike_may_differ_by_what_their_brackets_leave_open(limit: str, verdict: VerdictKind) -> None:
    # All in one bracket of 0.86 to 0.88 mm, U 1 µm: they differ by 0 to 22 µm.
    outcome = judged(sheet(spread_limit=limit), gauged(*["eee.n"] * 4))
    assert outcome.verdict is verdict
    spread = nozzle(outcome).spread
    assert spread is not None
    assert (spread.value, spread.least, spread.most) == (0, 0, D("0.022"))
    assert outcome.failed_holes == ()


def test_a_spread_that_no_sizes_inside_the_brackets_allow_rejects_the_nozzle() -> None:
    # One hole is under 0.861 mm, another at least 0.869 mm: they differ by 8 µm or more.
    outcome = judged(sheet(spread_limit="0.007"), gauged("eennn", "eeeen", "eeenn", "eeenn"))
    assert (outcome.verdict, outcome.consequence) == (FAILS, Disposition.REPLACE)
    assert "The holes differ by 0.008 to 0.032 mm; allowed are 0.007 mm: too far off." in outcome.sentence


def test_the_flow_area_stands_against_nominal_and_since_new() -> None:
    outcome = judged(sheet(nominal="0.86"), gauged(*["eeenn"] * 4))
    found = nozzle(outcome)
    assert found.area is not None
    assert found.of_nominal is not None
    assert found.since_new is not None
    assert float(found.area.value) == pytest.approx(4 * math.pi * 0.865**2 / 4, abs=1e-4)
    assert float(found.nominal_area or 0) == pytest.approx(4 * math.pi * 0.86**2 / 4, abs=1e-4)
    assert float(found.of_nominal.value) == pytest.approx(100 * (0.865 / 0.86) ** 2, abs=0.01)
    assert float(found.of_nominal.least) == pytest.approx(100 * (0.859 / 0.86) ** 2, abs=0.011)
    assert float(found.of_nominal.most) == pytest.approx(100 * (0.871 / 0.86) ** 2, abs=0.011)
    assert found.since_new.value == found.of_nominal.value - 100


def test_with_a_class_a_new_nozzle_may_have_been_anywhere_inside_it() -> None:
    found = nozzle(judged(sheet(designation="0.84 H11"), gauged(*["eeenn"] * 4)))
    assert found.since_new is not None
    assert float(found.since_new.value) == pytest.approx(100 * ((0.865 / 0.87) ** 2 - 1), abs=0.01)
    assert float(found.since_new.least) == pytest.approx(100 * ((0.859 / 0.90) ** 2 - 1), abs=0.011)
    assert float(found.since_new.most) == pytest.approx(100 * ((0.871 / 0.84) ** 2 - 1), abs=0.011)


@pytest.mark.parametrize(
    ("limits", "verdict", "consequence"),
    [
        ({"area_least": "95", "area_most": "110"}, CONFORMS, None),
        ({"area_most": "102"}, NOT_PROVEN, Disposition.REPLACE),
        ({"area_most": "99"}, FAILS, Disposition.REPLACE),
        ({"area_least": "104"}, FAILS, Disposition.REWORK),
    ],
)
def test_the_flow_area_is_judged_by_all_that_the_brackets_leave_possible(
    limits: dict[str, str], verdict: VerdictKind, consequence: Disposition | None
) -> None:
    # Four holes of 0.859 to 0.871 mm are 99.7 to 102.6 % of four of 0.86 mm.
    outcome = judged(sheet(nominal="0.86", **limits), gauged(*["eeenn"] * 4))
    assert (outcome.verdict, outcome.consequence) == (verdict, consequence)


def test_an_open_hole_leaves_spread_and_flow_area_unknown_and_says_which_hole_it_is() -> None:
    limited = sheet(nominal="0.86", spread_limit="0.05", area_most="110")
    outcome = judged(limited, gauged("eeenn", "eeeee", "eeenn", "eeenn"))
    assert nozzle(outcome).open_holes == (2,)
    assert (nozzle(outcome).spread, nozzle(outcome).of_nominal) == (None, None)
    assert "Spread and flow area are not known, since the size of hole 2 is open to one side." in outcome.sentence
    assert (outcome.verdict, outcome.consequence) == (FAILS, Disposition.REPLACE)


def test_a_nozzle_with_one_hole_has_a_flow_area_and_no_spread() -> None:
    found = nozzle(judged(replace(sheet(nominal="0.86"), holes=1), gauged("eeenn")))
    assert (found.spread, found.area is None) == (None, False)


def test_contradictory_passes_are_told_hole_by_hole_as_they_were_recorded() -> None:
    with pytest.raises(PinsContradict) as refusal:
        judged(ITEM, gauged("enenn", "eennn", "neenn", "eennn"))
    assert [hole.hole for hole in refusal.value.holes] == [1, 3]
    first = refusal.value.holes[0]
    assert [one.enters for one in first.passes] == [True, False, True, False, False]
    assert [one.contradicts for one in first.passes] == [False, True, True, False, False]
    assert "the 0.86 mm pin enters but the smaller 0.85 mm pin does not" in first.sentence
    assert "Hole 3: the 0.86 mm pin enters but the smaller 0.84 mm pin does not" in refusal.value.sentence


def test_a_contradiction_names_the_calibrated_diameter_where_it_is_not_the_mark() -> None:
    with pytest.raises(PinsContradict) as refusal:
        judged(ITEM, gauged("eenen", *["ee..n"] * 3, d87="0.8610"))
    assert "the 0.87 mm (measured 0.861 mm) pin enters but the smaller 0.86 mm pin does not" in refusal.value.sentence
