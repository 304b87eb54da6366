"""Which calibration is in force, and how an instrument stands with it."""

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.calibration import (
    Calibration,
    CalibrationState,
    FoundState,
    InstrumentState,
    asks_for_quarantine,
    brings_back_out_of_limits,
    calibration_state,
    due_in_words,
    in_force,
)

TODAY = date(2026, 3, 2)
IN_USE, QUARANTINED, WITHDRAWN = InstrumentState


def made(on: date | None, number: str = "CAL-1", found: FoundState = FoundState.WITHIN) -> Calibration:
    """A calibration of that day."""
    due = (on or TODAY) + timedelta(days=365)
    return Calibration(
        certificate=number, on=on, due=due, laboratory="Lab", expanded_uncertainty=D("0.002"), k=D(2), found=found
    )


@pytest.mark.parametrize(
    ("due", "state", "standing"),
    [
        (date(2026, 4, 2), IN_USE, CalibrationState.IN_DATE),
        (date(2026, 4, 1), IN_USE, CalibrationState.DUE_SOON),
        (TODAY, IN_USE, CalibrationState.DUE_SOON),
        (date(2026, 3, 1), IN_USE, CalibrationState.OVERDUE),
        (None, IN_USE, CalibrationState.NONE),
        (date(2026, 3, 1), WITHDRAWN, CalibrationState.WITHDRAWN),
        (date(2027, 3, 1), WITHDRAWN, CalibrationState.WITHDRAWN),
        (date(2027, 3, 1), QUARANTINED, CalibrationState.QUARANTINED),
    ],
)
def test_the_due_day_itself_is_in_date_and_what_is_shut_away_is_never_in_use(due, state, standing):
    assert calibration_state(due, TODAY, state) is standing


def test_the_newest_calibration_up_to_the_day_is_in_force_in_whatever_order_they_were_recorded():
    old, new = made(date(2025, 3, 1), "OLD"), made(date(2026, 2, 1), "NEW")
    for order in ((old, new), (new, old)):
        assert in_force(order, TODAY) is new
        assert in_force(order, date(2026, 2, 1)) is new
        assert in_force(order, date(2026, 1, 31)) is old
        assert in_force(order, date(2025, 2, 28)) is None


def test_of_two_calibrations_of_one_day_the_one_recorded_later_counts():
    wrong, corrected = made(TODAY, "WRONG"), made(TODAY, "CORRECTED")
    assert in_force((wrong, corrected), TODAY) is corrected


def test_a_calibration_without_a_day_counts_until_one_with_a_day_comes():
    carried, new = made(None, "CARRIED"), made(date(2026, 2, 1), "NEW")
    assert in_force((carried, new), date(2020, 1, 1)) is carried
    assert in_force((carried, new), TODAY) is new


@given(st.lists(st.dates(date(2020, 1, 1), date(2030, 1, 1)), max_size=6), st.dates(date(2019, 1, 1), date(2031, 1, 1)))
def test_no_calibration_in_force_was_made_after_the_reading(days, on):
    found = in_force([made(day, str(place)) for place, day in enumerate(days)], on)
    earlier = [day for day in days if day <= on]
    assert (found.on if found else None) == (max(earlier) if earlier else None)


def test_found_out_of_limits_shuts_an_instrument_away_unless_a_newer_calibration_is_known():
    before, out = made(date(2025, 3, 1)), made(date(2026, 2, 1), found=FoundState.OUT)
    since = made(date(2026, 2, 20))
    assert asks_for_quarantine(out, (before, out))
    assert not asks_for_quarantine(out, (since, out))
    assert not asks_for_quarantine(made(TODAY, found=FoundState.ADJUSTED), (before,))


@pytest.mark.parametrize(
    ("due", "words"),
    [
        (None, "never calibrated"),
        (TODAY, "due today"),
        (date(2026, 3, 3), "due in 1 day"),
        (date(2026, 2, 20), "10 days late"),
    ],
)
def test_the_distance_to_the_due_day_is_said_in_words(due, words):
    assert due_in_words(due, TODAY) == words


def annulled(one: Calibration) -> Calibration:
    """As it stands once it was annulled."""
    return replace(one, annulled=True)


@given(st.lists(st.tuples(st.dates(date(2020, 1, 1), date(2030, 1, 1)), st.booleans()), max_size=6), st.dates())
def test_an_annulled_calibration_counts_as_if_it_had_never_been_entered(made_on, on):
    all_of_them = [replace(made(day, str(place)), annulled=struck) for place, (day, struck) in enumerate(made_on)]
    assert in_force(all_of_them, on) == in_force([one for one in all_of_them if not one.annulled], on)


def test_an_annulment_brings_an_older_finding_out_of_limits_back():
    good, out, later = made(date(2025, 3, 1)), made(date(2026, 1, 1), found=FoundState.OUT), made(date(2026, 2, 1))
    assert brings_back_out_of_limits((good, out, later), (good, out, annulled(later)))
    assert not brings_back_out_of_limits((good, out, later), (annulled(good), out, later))
    assert not brings_back_out_of_limits((good, out), (annulled(good), out)), "it was in force before as well"
    assert not brings_back_out_of_limits((good,), (annulled(good),))
