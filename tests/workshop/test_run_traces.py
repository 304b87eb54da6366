"""What a trace proves of the seat: a hold at the wanted pressure for the wanted time, and in words why not."""

from decimal import Decimal as D

import pytest

from service.hydraulics.trace.analysis import TraceAnalysis, analyse
from service.hydraulics.trace.reading import Trace
from service.workshop.run_traces import SeatHold, seat_held, seat_hold
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
