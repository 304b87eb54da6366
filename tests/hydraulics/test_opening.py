"""Opening pressure from the strokes of the test rig."""

from decimal import Decimal
from statistics import mean

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.opening import against_limits, opening_pressure

pressures = st.decimals(1, 1500, places=1)
runs = st.lists(pressures, min_size=3, max_size=12)


def _run(*bars: str) -> list[Decimal]:
    return [Decimal(bar) for bar in bars]


def test_three_strokes_give_mean_lowest_highest_and_spread() -> None:
    opening = opening_pressure(_run("348.5", "351", "350"))
    assert opening.mean_bar == mean(_run("348.5", "351", "350"))
    assert (opening.lowest_bar, opening.highest_bar, opening.spread_bar) == (
        Decimal("348.5"),
        Decimal(351),
        Decimal("2.5"),
    )


@given(runs)
def test_the_mean_lies_between_the_lowest_and_the_highest_stroke(run: list[Decimal]) -> None:
    opening = opening_pressure(run)
    hair = Decimal("1e-20")
    assert opening.lowest_bar - hair <= opening.mean_bar <= opening.highest_bar + hair
    assert opening.spread_bar >= 0
    assert opening.strokes_bar == tuple(run)


@given(runs, pressures, pressures)
def test_a_run_is_within_when_every_stroke_is(run: list[Decimal], one: Decimal, other: Decimal) -> None:
    lower, upper = sorted((one, other))
    found = against_limits(opening_pressure(run), lower, upper, None)
    assert found.within == all(lower <= stroke <= upper for stroke in run)
    assert found.too_low == any(stroke < lower for stroke in run)
    assert found.too_high == any(stroke > upper for stroke in run)


@pytest.mark.parametrize(("limit", "scattered"), [("2.5", False), ("2.4", True), ("0", True)])
def test_scatter_is_held_against_its_own_limit_which_is_allowed(limit: str, scattered: bool) -> None:
    found = against_limits(opening_pressure(_run("348.5", "351", "350")), None, None, Decimal(limit))
    assert found.too_scattered == scattered
    assert found.within != scattered


@pytest.mark.parametrize("run", [[], _run("350"), _run("350", "351")])
def test_fewer_than_three_strokes_prove_nothing(run: list[Decimal]) -> None:
    # At least three strokes: common practice, no source.
    with pytest.raises(HydraulicsError) as refusal:
        opening_pressure(run)
    assert refusal.value.code == "too-few-strokes"
    assert refusal.value.sentence.endswith(f"make {3 - len(run)} more.")


def test_a_test_plan_may_ask_for_more_strokes() -> None:
    with pytest.raises(HydraulicsError, match="3 of at least 5 strokes"):
        opening_pressure(_run("350", "351", "352"), least_strokes=5)
    with pytest.raises(HydraulicsError, match="at least one stroke"):
        opening_pressure(_run("350"), least_strokes=0)


@pytest.mark.parametrize("bad", ["0", "-350", "NaN", "Infinity"])
def test_a_stroke_without_a_pressure_is_refused_by_its_number(bad: str) -> None:
    with pytest.raises(HydraulicsError, match="Stroke 2 reads") as refusal:
        opening_pressure(_run("350", bad, "351"))
    assert refusal.value.code == "pressure-not-positive"
    assert refusal.value.field == "strokes_bar"


def test_crossed_limits_are_refused() -> None:
    with pytest.raises(HydraulicsError, match="correct the limit sheet"):
        against_limits(opening_pressure(_run("350", "351", "352")), Decimal(360), Decimal(340), None)
