"""How an instrument stands with its calibration on a given day."""

from datetime import date, timedelta
from enum import StrEnum

DUE_SOON = timedelta(days=30)


class CalibrationState(StrEnum):
    """What the register says about an instrument."""

    IN_DATE = "in-date"
    DUE_SOON = "due-soon"
    OVERDUE = "overdue"
    WITHDRAWN = "withdrawn"

    @property
    def label(self) -> str:
        """Words for people."""
        return {
            CalibrationState.IN_DATE: "In date",
            CalibrationState.DUE_SOON: "Due within 30 days",
            CalibrationState.OVERDUE: "Overdue",
            CalibrationState.WITHDRAWN: "Withdrawn",
        }[self]


def calibration_state(due: date, today: date, *, active: bool) -> CalibrationState:
    """The state on that day; the due day itself is still in date."""
    if not active:
        return CalibrationState.WITHDRAWN
    if due < today:
        return CalibrationState.OVERDUE
    return CalibrationState.DUE_SOON if due - today <= DUE_SOON else CalibrationState.IN_DATE
