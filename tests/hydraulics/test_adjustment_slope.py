"""Which slope a pressure is set by: the geometry's, or that of the workshop's own adjustments."""

import random
from decimal import Decimal as D

import pytest

from service.hydraulics.adjustment_slope import Adjustment, choose_slope, own_slope


def _adjustments(slope: str, *thicknesses: str, off: tuple[int, ...] = (1, -1, 2, -2, 0)) -> list[Adjustment]:
    return [Adjustment(D(mm), D(slope) * D(mm) + D(off[place % len(off)]) / 10) for place, mm in enumerate(thicknesses)]


STEADY = _adjustments("120", "0.05", "0.10", "0.10", "0.20", "-0.10", "0.15", "0.30")
SCATTERED = _adjustments("120", "0.05", "0.10", "0.10", "0.20", "0.15", off=(90, -120, 150, -200, 60))


def test_steady_own_adjustments_are_used_and_the_geometry_is_said_to_agree() -> None:
    chosen = choose_slope(D(121), STEADY)
    assert chosen is not None
    assert (chosen.source, round(chosen.bar_per_mm)) == ("own-adjustments", 120)
    assert chosen.lower_bar_per_mm is not None
    assert chosen.upper_bar_per_mm is not None
    assert chosen.lower_bar_per_mm <= chosen.bar_per_mm <= chosen.upper_bar_per_mm
    assert chosen.why.startswith("7 own adjustments on this type give 120 bar for each mm of disc, with 95 % between")
    assert "the geometry's 121 agrees" in chosen.why


def test_a_geometry_that_disagrees_is_to_be_checked() -> None:
    chosen = choose_slope(D(200), STEADY)
    assert chosen is not None
    assert chosen.source == "own-adjustments"
    assert "check the spring rate and the diameters on the limit sheet" in chosen.why


@pytest.mark.parametrize(
    ("adjustments", "words"),
    [
        ([], "no own adjustment on this type so far, and 5 are wanted"),
        (STEADY[:1], "one own adjustment on this type so far"),
        (STEADY[:4], "4 own adjustments on this type so far"),
        (SCATTERED, "since own adjustments scatter too widely: 5 own adjustments"),
    ],
)
def test_few_or_scattered_adjustments_leave_it_to_the_geometry(adjustments: list[Adjustment], words: str) -> None:
    chosen = choose_slope(D(121), adjustments)
    assert chosen is not None
    assert (chosen.source, chosen.bar_per_mm) == ("geometry", 121)
    assert chosen.lower_bar_per_mm is None
    assert words in chosen.why


def test_without_a_geometry_the_own_adjustments_are_all_there_is() -> None:
    chosen = choose_slope(None, SCATTERED)
    assert chosen is not None
    assert chosen.source == "own-adjustments"
    assert "set it in small steps" in chosen.why
    assert choose_slope(None, STEADY[:4]) is None
    assert choose_slope(None, []) is None


def test_adjustments_with_one_thickness_only_have_a_slope_too() -> None:
    found = own_slope([Adjustment(D("0.10"), D(bar)) for bar in (11, 12, 12, 13, 12)])
    assert found is not None
    assert found.bar_per_mm == 120
    assert found.usable


def test_a_change_that_left_the_thickness_as_it_was_does_not_count() -> None:
    assert own_slope([*STEADY[:4], Adjustment(D(0), D(25))]) is None


def test_one_adjustment_gone_wrong_does_not_spoil_the_slope() -> None:
    wrong = [*STEADY, Adjustment(D("0.10"), D(-60))]
    found = own_slope(wrong)
    assert found is not None
    assert abs(found.bar_per_mm - 120) < 5


def test_the_interval_holds_the_true_slope_about_as_often_as_it_says() -> None:
    # 400 invented workshops with 12 adjustments each, scatter 1 bar; 95 % asked for.
    chance = random.Random(7)
    held = 0
    for _ in range(400):
        told = []
        for _ in range(12):
            mm = D(chance.choice((5, 10, 15, 20, 25, 30))) / 100
            told.append(Adjustment(mm, 120 * mm + D(round(chance.gauss(0, 1), 3))))
        found = own_slope(told)
        assert found is not None
        held += found.lower_bar_per_mm <= 120 <= found.upper_bar_per_mm
    assert 0.92 <= held / 400 <= 0.99
