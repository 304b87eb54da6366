"""Setting the opening pressure: what is off, which discs are proposed, by which slope. The figures are invented."""

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal as D

import pytest

from service.hydraulics.adjustment_slope import Adjustment
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import DiscsChanged, PartReworked
from service.workshop.limit_sheet import LimitSheet
from service.workshop.own_adjustments import adjustments_in
from service.workshop.pressure_setting import PressureSetting, fitted_discs_um, opening_off, set_pressure
from service.workshop.step_results import OpeningPressureResult
from service.workshop.vocabulary import RunPurpose
from tests.small_findings import PASSING
from tests.small_sheet import SMALL_SHEET
from tests.workshop.overhaul_by_hand import RULE, ByHand

# Guide 8 mm over a seat of 4.5 mm is 34.36 mm², so 100 N/mm give 29.1 bar for each mm. The band of the small sheet is
# 345 to 360 bar; its gauge has U = 2 bar, so 347 to 358 bar are proven.
SETTING = {
    "spring_rate_n_per_mm": D(100),
    "guide_mm": D(8),
    "seat_mm": D("4.5"),
    "discs_mm": (D("0.20"), D("0.50"), D("0.60")),
}


def _sheet(**instead: object) -> LimitSheet:
    return replace(SMALL_SHEET, test_plan=replace(SMALL_SHEET.test_plan, **(SETTING | instead)))  # type: ignore[arg-type]


def _strokes(bar: str) -> OpeningPressureResult:
    return OpeningPressureResult(strokes_bar=(D(bar),) * 3)


def _test(hand: ByHand, bar: str) -> int:
    """A run up to its opening pressure."""
    run = hand.start_run()
    for key, result in PASSING.items():
        outcome = hand.step(run, key, _strokes(bar) if key == "opening" else result)
        if key == "opening" or not outcome.passed:
            break
    return run


def _tested(bar: str, sheet: LimitSheet | None = None) -> ByHand:
    hand = ByHand(sheet or _sheet())
    hand.strip()
    hand.examine_all()
    hand.settle_all()
    hand.rebuild()
    _test(hand, bar)
    return hand


def _discs(hand: ByHand, added: Sequence[str] = (), removed: Sequence[str] = ()) -> None:
    put_in, taken_out = (tuple(D(mm) for mm in discs) for discs in (added, removed))
    hand.put(DiscsChanged(added=put_in, removed=taken_out, reason="Pressure off."))
    hand.rebuild()


def _setting(hand: ByHand, adjustments: Sequence[Adjustment] = ()) -> PressureSetting:
    found = set_pressure(hand.record, adjustments, RULE)
    assert found is not None
    return found


def test_a_pressure_below_its_band_gets_the_fewest_discs_that_bring_it_where_it_is_proven() -> None:
    found = _setting(_tested("335"))
    assert (found.band.lower_bar, found.band.target_bar, found.band.upper_bar, found.guard_bar) == (347, 350, 358, 2)
    assert [one.added_um for one in found.sets] == [(500,), (600,)]
    assert found.slope is not None
    assert found.slope.source == "geometry"
    assert [round(one.expected_bar, 1) for one in found.sets] == [D("349.6"), D("352.5")]


def test_five_steady_adjustments_of_the_type_come_before_the_geometry() -> None:
    own = [Adjustment(D("0.5"), D(20)), Adjustment(D("0.2"), D(8)), *[Adjustment(D("0.6"), D(24))] * 3]
    found = _setting(_tested("335"), own)
    assert found.slope is not None
    assert (found.slope.source, found.slope.bar_per_mm) == ("own-adjustments", 40)
    assert [one.added_um for one in found.sets] == [(500,)]


@pytest.mark.parametrize("bar", ["347", "350", "358"])
def test_a_proven_pressure_is_not_off(bar: str) -> None:
    assert opening_off(_tested(bar).record, RULE) is None
    assert set_pressure(_tested(bar).record, (), RULE) is None


def test_a_pressure_too_near_its_limit_is_off_unless_the_rule_accepts_it() -> None:
    record = _tested("346").record
    assert opening_off(record, RULE) is not None
    assert opening_off(record, DecisionRule(guard_factor=D(0))) is None


def test_once_the_discs_are_changed_the_old_pressure_proposes_nothing() -> None:
    hand = _tested("335")
    hand.reopen()
    assert set_pressure(hand.record, (), RULE) is not None
    _discs(hand, added=["0.50"])
    assert set_pressure(hand.record, (), RULE) is None


def test_discs_that_were_added_come_out_again_when_the_pressure_is_too_high() -> None:
    hand = _tested("335")
    _discs(hand, added=["0.60", "0.20"])
    _test(hand, "363")
    found = _setting(hand)
    assert found.fitted_um == (600, 200)
    assert [(one.added_um, one.removed_um) for one in found.sets] == [((), (200,))]


def test_a_disc_that_it_arrived_with_is_not_counted_as_added() -> None:
    hand = _tested("364")
    _discs(hand, removed=["0.30"])
    assert fitted_discs_um(hand.record) == ()
    _discs(hand, added=["0.20"], removed=[])
    assert fitted_discs_um(hand.record) == (200,)


def test_thicknesses_that_have_run_out_are_left_out() -> None:
    found = set_pressure(_tested("335").record, (), RULE, absent_mm={D("0.5"), D("0.60")})
    assert found is not None
    assert [one.added_um for one in found.sets] == [(200, 200, 200)]


def test_a_weak_spring_is_replaced_and_its_set_is_told() -> None:
    found = _setting(_tested("240"))
    assert (found.sets, found.advice and found.advice.kind) == ((), "replace-spring")
    assert found.spring is not None
    # 110 bar on 34.36 mm² are 378 N of 1203 N, which 100 N/mm make up over 3.78 mm.
    assert [round(value, 2) for value in (found.spring.lost_n, found.spring.lost_percent, found.spring.set_mm)] == [
        D("377.97"),
        D("31.43"),
        D("3.78"),
    ]
    assert found.closing_bar is not None
    assert round(found.closing_bar, 1) == round(240 * (1 - D("4.5") ** 2 / 64), 1)


def test_added_discs_do_not_hide_what_the_spring_has_lost() -> None:
    hand = _tested("335")
    _discs(hand, added=["0.20"])
    _test(hand, "341")
    found = _setting(hand)
    assert found.spring is not None
    assert round(found.spring.set_mm, 2) == round((D(350) - D(341)) * D("34.3611") / 10 / 100 + D("0.20"), 2)


def test_a_sheet_without_geometry_and_own_adjustments_proposes_no_discs() -> None:
    bare = _sheet(spring_rate_n_per_mm=None, guide_mm=None, seat_mm=None)
    found = _setting(_tested("335", bare))
    assert (found.slope, found.task, found.sets, found.advice) == (None, None, (), None)
    assert (found.closing_bar, found.spring) == (None, None)


def test_a_band_that_the_gauge_cannot_prove_is_used_as_it_is() -> None:
    wide = _setting(_tested("335", _sheet(opening_lower_bar=D(349), opening_upper_bar=D(352))))
    assert (wide.band.lower_bar, wide.band.upper_bar, wide.guard_bar) == (349, 352, 0)


def test_what_discs_did_to_the_pressure_is_read_between_two_runs() -> None:
    hand = _tested("335")
    _discs(hand, added=["0.20"])
    _discs(hand, added=["0.50"], removed=["0.20"])
    _test(hand, "350")
    told = [(entry.seq, entry.content) for entry in hand.record.entries]
    assert adjustments_in(told) == (Adjustment(D("0.50"), D(15)),)


def test_across_a_reworked_part_nothing_is_read() -> None:
    hand = _tested("335")
    _discs(hand, added=["0.50"])
    _test(hand, "350")
    told = [(entry.seq, entry.content) for entry in hand.record.entries]
    changed = next(place for place, (_, content) in enumerate(told) if isinstance(content, DiscsChanged))
    told.insert(changed, (0, PartReworked(part="spring", method="Ground.")))
    assert adjustments_in(told) == ()


def test_an_as_found_pressure_is_neither_set_nor_read() -> None:
    hand = ByHand(_sheet())
    run = hand.start_run(RunPurpose.AS_FOUND)
    for key, result in PASSING.items():
        hand.step(run, key, _strokes("330") if key == "opening" else result)
        if key == "opening":
            break
    assert set_pressure(hand.record, (), RULE) is None
    assert adjustments_in([(entry.seq, entry.content) for entry in hand.record.entries]) == ()


def test_more_discs_than_can_be_searched_are_told_and_nothing_else_is_lost() -> None:
    hand = _tested("335", replace(_sheet(), discs_added_max=20))
    _discs(hand, added=["0.01"] * 13)
    _test(hand, "336")
    found = _setting(hand)
    assert found.sets == ()
    assert found.advice is not None
    assert "check the list" in found.advice.sentence
    assert found.closing_bar is not None


def test_strokes_that_scatter_widen_the_uncertainty_and_narrow_what_is_aimed_at() -> None:
    hand = _tested("335")
    steady = _setting(hand)
    run = hand.start_run()
    for key, result in PASSING.items():
        scattered = OpeningPressureResult(strokes_bar=(D(333), D(335), D(337)))
        hand.step(run, key, scattered if key == "opening" else result)
        if key == "opening":
            break
    wide = _setting(hand)
    assert wide.off.mean_bar == steady.off.mean_bar
    assert wide.guard_bar > steady.guard_bar
