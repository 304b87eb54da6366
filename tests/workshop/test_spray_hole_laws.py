"""What holds for every nozzle and set of pins: no verdict improves as a hole grows, nor by knowing less."""

from dataclasses import replace
from decimal import Decimal as D

from hypothesis import given
from hypothesis import strategies as st

from service.workshop.limit_sheet import PinCharacteristic
from service.workshop.measurements import CalibratedPin, PinMeasurement, PinTried
from service.workshop.vocabulary import VerdictKind
from tests.small_sheet import INSTRUMENTS
from tests.workshop.gauged_holes import ITEM, MARKS, judged, nozzle, sheet

CONFORMS, NOT_PROVEN, FAILS = VerdictKind.CONFORMS, VerdictKind.NOT_PROVEN, VerdictKind.DOES_NOT_CONFORM

tenths = st.integers(-25, 25)
sizes = st.integers(8300, 9000)


def _tried(true: list[int], diameters: dict[D, D]) -> PinMeasurement:
    """What honest pins answer in holes of those sizes (tenths of a µm)."""
    passes = tuple(
        PinTried(hole=hole, pin=mark, enters=diameters[mark] <= D(size) / 10_000)
        for hole, size in enumerate(true, start=1)
        for mark in MARKS
    )
    calibrated = tuple(CalibratedPin(nominal=mark, diameter=diameter) for mark, diameter in diameters.items())
    return PinMeasurement(passes=passes, instrument=INSTRUMENTS["PINS-1"], calibrated=calibrated)


@st.composite
def pin_sets(draw: st.DrawFn) -> dict[D, D]:
    """Pins up to 2.5 µm off their marks; their uncertainty is 1 µm."""
    return {mark: mark + D(draw(tenths)) / 10_000 for mark in MARKS}


sheets = st.sampled_from(
    [
        ITEM,
        sheet(designation="0.84 H11"),
        sheet(designation="0.85 H10"),
        sheet(nominal="0.86", area_most="103"),
        sheet(nominal="0.85", area_least="98", area_most="108"),
    ]
)


@given(sheets, pin_sets(), st.lists(sizes, min_size=4, max_size=4), st.integers(0, 3), st.integers(0, 400))
def test_a_larger_bracket_never_turns_a_reject_into_a_pass(
    item: PinCharacteristic, diameters: dict[D, D], true: list[int], grown: int, by: int
) -> None:
    before = judged(item, _tried(true, diameters))
    after = judged(item, _tried([size + (by if place == grown else 0) for place, size in enumerate(true)], diameters))
    hole_before, hole_after = (nozzle(one).holes[grown].verdict for one in (before, after))
    entering = nozzle(before).holes[grown].entering
    if hole_before is FAILS and entering is not None and entering >= diameters[item.go_pin]:  # so it is too large
        assert hole_after is not CONFORMS
        assert after.verdict is not CONFORMS
    area = nozzle(before).of_nominal
    if item.area_most is not None and area is not None and area.least > item.area_most:
        assert after.verdict is not CONFORMS


@given(sheets, pin_sets(), st.lists(sizes, min_size=4, max_size=4), st.sets(st.sampled_from(MARKS)))
def test_pins_left_out_never_turn_a_reject_into_a_pass_nor_a_doubt_into_a_proof(
    item: PinCharacteristic, diameters: dict[D, D], true: list[int], left_out: set[D]
) -> None:
    whole = _tried(true, diameters)
    kept = tuple(one for one in whole.passes if one.pin not in left_out - {item.go_pin, item.reject_pin})
    fewer = judged(item, replace(whole, passes=kept))
    before = judged(item, whole)
    for known, less in zip(nozzle(before).holes, nozzle(fewer).holes, strict=True):
        assert less.verdict is known.verdict or less.verdict is NOT_PROVEN
    assert not (before.verdict is not CONFORMS and fewer.verdict is CONFORMS)


@given(pin_sets(), sizes, st.sampled_from(["0.84 H11", "0.85 H10", "0.86 JS11"]))
def test_by_a_class_no_hole_is_ever_proven_to_be_what_it_is_not(
    diameters: dict[D, D], true: int, designation: str
) -> None:
    item = replace(sheet(designation=designation), holes=1)
    limits = item.hole_limits
    assert limits is not None
    outcome = judged(item, _tried([true], diameters))
    inside = limits.min_mm <= D(true) / 10_000 <= limits.max_mm
    assert not (outcome.verdict is CONFORMS and not inside)
