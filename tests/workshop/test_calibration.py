"""How an instrument stands with its calibration."""

from datetime import date

import pytest

from service.workshop.calibration import CalibrationState, calibration_state

TODAY = date(2026, 3, 2)


@pytest.mark.parametrize(
    ("due", "active", "state"),
    [
        (date(2026, 4, 2), True, CalibrationState.IN_DATE),
        (date(2026, 4, 1), True, CalibrationState.DUE_SOON),
        (TODAY, True, CalibrationState.DUE_SOON),
        (date(2026, 3, 1), True, CalibrationState.OVERDUE),
        (date(2026, 3, 1), False, CalibrationState.WITHDRAWN),
        (date(2027, 3, 1), False, CalibrationState.WITHDRAWN),
    ],
)
def test_the_due_day_itself_is_in_date_and_a_withdrawn_instrument_is_never_in_use(due, active, state):
    assert calibration_state(due, TODAY, active=active) is state
