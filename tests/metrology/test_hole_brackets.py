"""Spray holes by calibrated pins: brackets, estimates, spread, flow area."""

import math
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.errors import MetrologyError
from service.metrology.flow_area import compare_areas, flow_area, nominal_flow_area
from service.metrology.gauge_pins import CalibratedPin
from service.metrology.hole_brackets import CalibratedPass, HoleSize, as_recorded, hole_size, hole_spread, nozzle_holes

D = Decimal
tenths_of_um = st.integers(7000, 10_000)


def _pin(diameter: str | Decimal, uncertainty: str = "0.001", code: str = "") -> CalibratedPin:
    return CalibratedPin(code or f"P{diameter}", D(diameter), D(diameter), D(uncertainty))


def _passes(*pins: tuple[str, bool]) -> list[CalibratedPass]:
    return [CalibratedPass(_pin(diameter), enters) for diameter, enters in pins]


def _hole(name: str, entering: str, refused: str) -> HoleSize:
    return hole_size(name, _passes((entering, True), (refused, False)))


def test_a_hole_lies_between_the_pins_widened_by_their_uncertainty() -> None:
    hole = hole_size("1", _passes(("0.850", True), ("0.860", True), ("0.880", False), ("0.872", False)))
    assert (hole.lower_mm, hole.upper_mm) == (D("0.859"), D("0.873"))
    assert hole.best_mm == D("0.866")
    # Rectangle of 12 µm and two pins with u = 0.5 µm each, of one calibration.
    assert float(hole.bracket_standard_uncertainty_mm or 0) == pytest.approx(0.012 / math.sqrt(12))
    assert hole.pins_standard_uncertainty_mm == D("0.0005")
    assert float(hole.standard_uncertainty_mm or 0) == pytest.approx(math.hypot(0.012 / math.sqrt(12), 0.0005))


def test_the_calibrated_diameter_counts_not_the_mark() -> None:
    worn = CalibratedPin("P1", D("0.860"), D("0.857"), D("0.001"))
    hole = hole_size("1", [CalibratedPass(worn, True), *_passes(("0.872", False))])
    assert hole.bracket.largest_entering_mm == D("0.857")


def test_of_two_pins_of_one_diameter_the_less_certain_one_counts() -> None:
    passes = [CalibratedPass(_pin("0.860", doubt, doubt), True) for doubt in ("0.001", "0.003")]
    assert hole_size("1", passes).lower_mm == D("0.857")


def test_a_hole_without_a_pin_on_one_side_has_no_estimate_and_says_which_pin_is_missing() -> None:
    open_above = hole_size("4", _passes(("0.850", True)))
    assert (open_above.lower_mm, open_above.upper_mm, open_above.best_mm) == (D("0.849"), None, None)
    assert open_above.standard_uncertainty_mm is None
    with pytest.raises(MetrologyError) as refusal:
        flow_area([_hole("3", "0.850", "0.860"), open_above])
    assert refusal.value.code == "hole-open"
    assert "hole 4 (larger pin that does not enter)" in refusal.value.sentence
    assert "hole 3" not in refusal.value.sentence


@given(tenths_of_um, st.lists(tenths_of_um, min_size=1, max_size=10), st.integers(0, 50))
def test_whatever_the_pins_truly_are_within_their_uncertainty_the_interval_holds_the_hole(
    hole: int, pins: list[int], error: int
) -> None:
    # Each pin is truly up to 5 µm away from its certificate; its U says so.
    truly = {pin: pin + (error if place % 2 else -error) for place, pin in enumerate(sorted(set(pins)))}
    passes = [
        CalibratedPass(_pin(D(pin) / 10_000, str(D(error) / 10_000)), true <= hole) for pin, true in truly.items()
    ]
    try:
        found = hole_size("1", passes)
    except MetrologyError:
        # Two pins nearer to each other than their uncertainty may seem to contradict, and are tried again.
        assert any(one.contradicts for one in as_recorded(passes))
        return
    assert found.lower_mm is None or found.lower_mm <= D(hole) / 10_000
    assert found.upper_mm is None or found.upper_mm >= D(hole) / 10_000


@given(tenths_of_um, st.lists(tenths_of_um, min_size=2, max_size=8), tenths_of_um)
def test_one_more_pin_never_makes_a_hole_less_certain(hole: int, pins: list[int], one_more: int) -> None:
    def found(sizes: list[int]) -> HoleSize:
        return hole_size("1", [CalibratedPass(_pin(D(size) / 10_000), size <= hole) for size in sizes])

    before, after = found(pins).standard_uncertainty_mm, found([*pins, one_more]).standard_uncertainty_mm
    if before is not None:
        assert after is not None
        assert after <= before


def test_a_contradiction_is_refused_and_can_be_drawn() -> None:
    passes = _passes(("0.860", True), ("0.850", False), ("0.840", True), ("0.870", False))
    with pytest.raises(MetrologyError, match=r"Hole 2: the 0\.86 mm pin enters but the smaller 0\.85 mm pin does not"):
        nozzle_holes({"1": _passes(("0.860", True)), "2": passes})
    drawn = [(str(one.pin.diameter_mm), one.enters, one.contradicts) for one in as_recorded(passes)]
    assert drawn == [
        ("0.840", True, False),
        ("0.850", False, True),
        ("0.860", True, True),
        ("0.870", False, False),
    ]


def test_the_spread_of_a_nozzle_has_an_estimate_and_certain_bounds() -> None:
    holes = [_hole("1", "0.850", "0.856"), _hole("2", "0.862", "0.868"), _hole("3", "0.856", "0.862")]
    spread = hole_spread(holes)
    assert (spread.largest.hole, spread.smallest.hole, spread.spread_mm) == ("2", "1", D("0.012"))
    # 0.861 − 0.857 at least, 0.869 − 0.849 at most.
    assert (spread.least_mm, spread.most_mm) == (D("0.004"), D("0.020"))
    assert float(spread.standard_uncertainty_mm) == pytest.approx(math.sqrt(2) * 0.006 / math.sqrt(12))


def test_holes_in_one_bracket_may_be_alike() -> None:
    spread = hole_spread([_hole("1", "0.850", "0.856"), _hole("2", "0.850", "0.856")])
    assert (spread.spread_mm, spread.least_mm, spread.most_mm) == (0, 0, D("0.008"))
    with pytest.raises(MetrologyError) as refusal:
        hole_spread([_hole("1", "0.850", "0.856")])
    assert refusal.value.code == "too-few-holes"


def test_the_flow_area_is_that_of_its_circles_and_its_doubt_is_found_by_drawing_lots() -> None:
    holes = [_hole(str(number), "0.850", "0.862") for number in range(1, 11)]
    found = flow_area(holes)
    assert float(found.area_mm2) == pytest.approx(10 * math.pi * 0.856**2 / 4)
    # JCGM 101: the same model by 20,000 draws; rectangles apart for each hole, one common error of the pins.
    import numpy as np

    lots = np.random.default_rng(856)
    sizes = lots.uniform(0.850, 0.862, (20_000, 10)) + lots.normal(0, 0.0005, (20_000, 1))
    drawn = np.std((math.pi * sizes**2 / 4).sum(axis=1))
    assert float(found.standard_uncertainty_mm2) == pytest.approx(drawn, rel=0.03)
    assert found.expanded_mm2() == 2 * found.standard_uncertainty_mm2


def test_against_nominal_and_since_new_the_area_is_compared_with_its_doubt() -> None:
    worn, new = ([_hole("1", entering, refused)] for entering, refused in (("0.868", "0.872"), ("0.848", "0.852")))
    nominal = nominal_flow_area(1, D("0.85"))
    against = compare_areas(flow_area(worn), nominal)
    assert float(against.percent) == pytest.approx(100 * ((0.87 / 0.85) ** 2 - 1))
    assert against.difference_mm2 == flow_area(worn).area_mm2 - nominal.area_mm2
    assert against.standard_uncertainty_mm2 == flow_area(worn).standard_uncertainty_mm2
    since_new = compare_areas(flow_area(worn), flow_area(new))
    assert since_new.percent == against.percent
    assert since_new.percent_standard_uncertainty > against.percent_standard_uncertainty


def test_the_limits_of_a_new_nozzle_make_its_nominal_area_doubtful() -> None:
    # A = n·π·d² ÷ 4 and a rectangle of 25 µm: u = n·π·d ÷ 2 · 25 µm ÷ √12.
    nominal = nominal_flow_area(8, D("0.85"), D("0.850"), D("0.875"))
    assert float(nominal.area_mm2) == pytest.approx(8 * math.pi * 0.85**2 / 4)
    assert float(nominal.standard_uncertainty_mm2) == pytest.approx(8 * math.pi * 0.85 / 2 * 0.025 / math.sqrt(12))


@given(st.lists(tenths_of_um, min_size=1, max_size=12), st.integers(1, 200))
def test_a_nozzle_twice_as_large_has_four_times_the_area_and_its_doubt(sizes: list[int], width: int) -> None:
    def area(scale: int) -> tuple[float, float]:
        holes = [
            hole_size(
                str(number),
                [
                    CalibratedPass(_pin(D(scale * size) / 10_000, str(scale * D("0.001"))), True),
                    CalibratedPass(_pin(D(scale * (size + width)) / 10_000, str(scale * D("0.001"))), False),
                ],
            )
            for number, size in enumerate(sizes)
        ]
        found = flow_area(holes)
        return float(found.area_mm2), float(found.standard_uncertainty_mm2)

    assert area(2) == pytest.approx(tuple(4 * part for part in area(1)))


@pytest.mark.parametrize(
    ("ask", "code"),
    [
        (lambda: flow_area([]), "hole-not-gauged"),
        (lambda: nominal_flow_area(0, D("0.85")), "hole-count"),
        (lambda: nominal_flow_area(8, D("-0.85")), "diameter-not-positive"),
        (lambda: nominal_flow_area(8, D("0.85"), D("0.9"), D("0.8")), "limits-crossed"),
        (lambda: hole_size("1", []), "hole-not-gauged"),
    ],
)
def test_what_has_no_area_is_refused(ask: object, code: str) -> None:
    with pytest.raises(MetrologyError) as refusal:
        ask()  # type: ignore[operator]
    assert refusal.value.code == code
