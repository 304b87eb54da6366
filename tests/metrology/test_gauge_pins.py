"""Go and no-go pins: sizes, wear, which pins may serve."""

from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.designations import tolerance_class
from service.metrology.errors import MetrologyError
from service.metrology.gauge_pins import CalibratedPin, PinRole, PinSizes, judge_pin, pin_sizes, propose_pins
from service.metrology.limits_and_fits import limits_of_size

D = Decimal
SPRAY_HOLE = limits_of_size(tolerance_class("0.85 H9"))  # 0.850 to 0.875 mm: ISO 286-1, IT9 to 3 mm is 25 µm
SIZES = pin_sizes(SPRAY_HOLE, D("0.002"))


def _pin(diameter: str, uncertainty: str = "0.0005", code: str = "P1") -> CalibratedPin:
    return CalibratedPin(code, round(D(diameter), 3), D(diameter), D(uncertainty))


def test_go_is_the_least_size_of_the_hole_and_no_go_the_largest() -> None:
    assert (SIZES.go_mm, SIZES.no_go_mm, SIZES.go_new_mm) == (D("0.850"), D("0.875"), D("0.852"))


@pytest.mark.parametrize("designation", ["0.85 JS9", "0.4 F7", "12.5 H6", "3 K7"])
def test_the_two_pins_stand_the_tolerance_apart(designation: str) -> None:
    limits = limits_of_size(tolerance_class(designation))
    sizes = pin_sizes(limits)
    assert sizes.no_go_mm - sizes.go_mm == limits.tolerance_mm
    assert sizes.go_mm == limits.min_mm


@pytest.mark.parametrize(
    ("diameter", "role", "verdict"),
    [
        ("0.8505", PinRole.GO, "conforms"),
        ("0.8504", PinRole.GO, "not-proven"),
        ("0.8495", PinRole.GO, "does-not-conform"),
        ("0.8745", PinRole.NO_GO, "conforms"),
        ("0.8750", PinRole.NO_GO, "not-proven"),
        ("0.8755", PinRole.NO_GO, "does-not-conform"),
    ],
)
def test_a_pin_serves_when_it_proves_its_limit_in_spite_of_its_uncertainty(
    diameter: str, role: PinRole, verdict: str
) -> None:
    fitness = judge_pin(_pin(diameter), role, SIZES)
    assert fitness.verdict.name == verdict
    assert fitness.usable is (verdict == "conforms")


def test_a_go_pin_says_how_far_it_may_still_wear() -> None:
    fitness = judge_pin(_pin("0.8521"), PinRole.GO, SIZES)
    assert (fitness.tolerance_lost_mm, fitness.wear_left_mm) == (D("0.0021"), D("0.0016"))
    assert judge_pin(_pin("0.8503"), PinRole.GO, SIZES).wear_left_mm < 0


def test_the_pins_to_buy_stand_on_the_safe_side_by_wear_and_uncertainty() -> None:
    proposal = propose_pins(SIZES, D("0.005"), D("0.001"))
    assert (proposal.go_to_buy_mm, proposal.no_go_to_buy_mm) == (D("0.855"), D("0.870"))
    assert proposal.between_mm == (D("0.860"), D("0.865"))
    assert (proposal.go_owned, proposal.no_go_owned) == (None, None)


def test_of_the_owned_pins_the_one_that_gives_away_least_is_proposed() -> None:
    owned = [
        _pin("0.8503", code="not proven"),
        _pin("0.8512", code="best go"),
        _pin("0.8520", code="go"),
        _pin("0.8650", code="too far from either"),
        _pin("0.8741", code="no-go"),
        _pin("0.8744", code="best no-go"),
        _pin("0.8752", code="over the limit"),
    ]
    proposal = propose_pins(SIZES, D("0.001"), D("0.0005"), owned)
    assert proposal.go_owned is not None
    assert proposal.no_go_owned is not None
    assert (proposal.go_owned.code, proposal.no_go_owned.code) == ("best go", "best no-go")


@given(st.integers(0, 5000), st.integers(0, 2000), st.integers(1, 5), st.integers(20_000, 40_000))
def test_whatever_is_proposed_proves_its_limit_and_the_go_pin_keeps_its_wear(
    wear: int, doubt: int, step: int, tolerance: int
) -> None:
    nm = D("0.000001")
    sizes = PinSizes(D("0.85"), D("0.85") + tolerance * nm, wear * nm)
    proposal = propose_pins(sizes, step * D("0.001"), doubt * nm)
    go = CalibratedPin("go", proposal.go_to_buy_mm, proposal.go_to_buy_mm, doubt * nm)
    no_go = CalibratedPin("no-go", proposal.no_go_to_buy_mm, proposal.no_go_to_buy_mm, doubt * nm)
    assert judge_pin(go, PinRole.GO, sizes).usable
    assert judge_pin(go, PinRole.GO, sizes).wear_left_mm >= wear * nm
    assert judge_pin(no_go, PinRole.NO_GO, sizes).usable
    ladder = [proposal.go_to_buy_mm, *proposal.between_mm, proposal.no_go_to_buy_mm]
    assert {larger - smaller for smaller, larger in pairwise(ladder)} == {step * D("0.001")}


@pytest.mark.parametrize(
    ("ask", "code", "field"),
    [
        (lambda: pin_sizes(limits_of_size(tolerance_class("25 g6"))), "class-not-a-hole", "designation"),
        (lambda: pin_sizes(SPRAY_HOLE, D("0.025")), "wear-allowance-out-of-range", "wear_allowance"),
        (lambda: pin_sizes(SPRAY_HOLE, D("-0.001")), "wear-allowance-out-of-range", "wear_allowance"),
        (lambda: propose_pins(SIZES, D(0), D(0)), "increment-not-positive", "increment"),
        (lambda: propose_pins(SIZES, D("0.001"), D("-1")), "uncertainty-negative", "uncertainty"),
        (lambda: propose_pins(SIZES, D("0.02"), D(0)), "pins-meet", "increment"),
        (lambda: propose_pins(SIZES, D("0.0001"), D(0)), "increment-too-fine", "increment"),
        (lambda: _pin("0"), "pin-size-not-positive", "marked_mm"),
        (lambda: _pin("0.85", "-1"), "uncertainty-negative", "expanded_uncertainty_mm"),
    ],
)
def test_what_cannot_be_gauged_with_pins_is_refused_by_its_field(ask: object, code: str, field: str) -> None:
    with pytest.raises(MetrologyError) as refusal:
        ask()  # type: ignore[operator]
    assert (refusal.value.code, refusal.value.field) == (code, field)
