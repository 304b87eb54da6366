"""The drift of an opening pressure: the line, its interval, and when there is too little to say."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.pressure_drift import ServicePeriod, drift_forecast

periods = st.lists(
    st.builds(
        ServicePeriod,
        hours=st.floats(500, 20_000),
        as_left_bar=st.floats(300, 400),
        as_found_bar=st.floats(250, 420),
    ),
    min_size=3,
    max_size=9,
)


def _period(hours: float, change: float) -> ServicePeriod:
    return ServicePeriod(hours, 350, 350 + change)


@given(periods, st.floats(500, 20_000))
def test_line_and_interval_are_those_of_least_squares_by_numpy(told: list[ServicePeriod], hours: float) -> None:
    # General linear model with one column: x0 (X'X)^-1 x0 by NumPy, t by SciPy.
    found = drift_forecast(told, hours)
    assert found is not None
    design = np.array([[one.hours] for one in told])
    changes = np.array([one.change_bar for one in told])
    (slope,), rest, *_ = np.linalg.lstsq(design, changes, rcond=None)
    variance = float(rest[0]) / (len(told) - 1)
    leverage = hours * np.linalg.inv(design.T @ design)[0, 0] * hours
    reach = stats.t.ppf(0.975, len(told) - 1) * np.sqrt(variance * (1 + leverage))
    assert found.change_bar == pytest.approx(slope * hours, rel=1e-9, abs=1e-9)
    assert found.upper_bar - found.change_bar == pytest.approx(reach, rel=1e-6, abs=1e-6)
    assert found.change_bar - found.lower_bar == pytest.approx(reach, rel=1e-6, abs=1e-6)


def test_a_steady_loss_is_expected_again_without_doubt() -> None:
    found = drift_forecast([_period(8000, -8), _period(6000, -6), _period(10_000, -10)], 7000)
    assert found is not None
    assert found.change_bar == pytest.approx(-7)
    assert found.bar_per_1000_h == pytest.approx(-1)
    assert (found.lower_bar, found.upper_bar) == pytest.approx((-7, -7))


def test_fewer_than_three_times_in_service_say_nothing() -> None:
    assert drift_forecast([_period(8000, -8), _period(6000, -6)], 7000) is None
    assert drift_forecast([], 7000) is None


def test_the_interval_holds_the_next_change_about_as_often_as_it_says() -> None:
    # Invented injectors that lose 1 bar in 1000 h with a scatter of 2 bar; 95 % asked for.
    chance = np.random.default_rng(11)
    held = 0
    for _ in range(600):
        hours = chance.uniform(4000, 12_000, 5)
        changes = -hours / 1000 + chance.normal(0, 2, 5)
        told = [_period(float(hour), float(change)) for hour, change in zip(hours[:4], changes[:4], strict=True)]
        found = drift_forecast(told, float(hours[4]))
        assert found is not None
        held += found.lower_bar <= changes[4] <= found.upper_bar
    assert 0.93 <= held / 600 <= 0.97


@pytest.mark.parametrize(("hours", "ahead"), [(0, 7000), (-5, 7000), (8000, 0)])
def test_hours_that_cannot_be_are_refused(hours: float, ahead: float) -> None:
    with pytest.raises(HydraulicsError):
        drift_forecast([_period(hours, -8)] * 3, ahead)
