"""What a trace proves of the seat: a hold at the wanted pressure for the wanted time, and in words why not."""

from dataclasses import replace
from datetime import date
from decimal import Decimal as D

import pytest

from service.hydraulics.trace.analysis import TraceAnalysis, analyse
from service.hydraulics.trace.reading import Trace
from service.workshop.run_traces import SeatHold, seat_held, seat_hold, stated_by_rig
from service.workshop.test_rig import RigOil, RigUse
from tests.hydraulics.invented_traces import Bench

TIMES, PRESSURES = (
    Bench(rate_hz=200, seed=8)
    .rest(0.5).pump(320, 4).hold(12, 15).relieve().rest(0.5).pump(280, 4).hold(30, 10).relieve().made(0.0005)
)  # fmt: skip
ANALYSIS: TraceAnalysis = analyse(Trace(TIMES, PRESSURES, None, len(TIMES), 0))
"""Two holds: 12 s from 320 bar down to 317, and 30 s from 280 bar down to 275."""


@pytest.mark.parametrize(
    ("wanted", "seconds", "verdict", "why"),
    [
        ("270", 25, "conforms", "Held over 27"),
        ("300", 10, "conforms", "Held over 31"),
        ("300", 15, "not-proven", "The longest hold over 300 bar lasted 1"),
        ("330", 10, "not-proven", "the highest came down to 31"),
    ],
)
def test_a_hold_proves_the_seat_where_it_stood_high_enough_for_long_enough(
    wanted: str, seconds: int, verdict: str, why: str
) -> None:
    found = seat_held(ANALYSIS, D(wanted), seconds)
    assert found.verdict == verdict
    assert why in found.sentence
    assert f"{wanted} bar for {seconds} s are asked" in found.sentence


def test_of_holds_that_stood_high_enough_the_longest_is_taken() -> None:
    low, high = seat_hold(ANALYSIS, D(270)), seat_hold(ANALYSIS, D(300))
    assert isinstance(low, SeatHold)
    assert isinstance(high, SeatHold)
    assert (low.held_s, high.held_s) == (pytest.approx(30, abs=1), pytest.approx(12, abs=1))
    assert D("274") <= low.lowest_bar <= D("275.5")
    assert D("316") <= high.lowest_bar <= D("317.5")


def test_volume_and_oil_come_from_the_rig_unless_somebody_states_others() -> None:
    oil = RigOil(name="Oil", viscosity_mm2_s=D("9.8"), changed_on=date(2026, 3, 1), bulk_modulus_gpa=D("1.50"))
    rig = RigUse(code="R-1", unit="bar", oil=oil, volume_cm3=D(60))
    assert stated_by_rig(rig, {"decimal": "comma"}) == {"volume_cm3": "60", "bulk_modulus_gpa": "1.5"}
    assert stated_by_rig(rig, {"volume_cm3": "75"}) == {}
    for unknown in (None, replace(rig, volume_cm3=None), replace(rig, oil=replace(oil, bulk_modulus_gpa=None))):
        assert stated_by_rig(unknown, {}) == {}
