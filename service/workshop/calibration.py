"""The calibrations of an instrument, which of them is in force on a day, and how the instrument then stands."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_UP, Decimal
from enum import StrEnum

DUE_SOON = timedelta(days=30)
_USUAL_K = Decimal(2)


class FoundState(StrEnum):
    """How the calibration laboratory found the instrument when it came in."""

    WITHIN = "within-limits"
    OUT = "out-of-limits"
    ADJUSTED = "adjusted"
    NOT_STATED = "not-stated"

    @property
    def label(self) -> str:
        """Words for people."""
        return {
            FoundState.WITHIN: "Within limits",
            FoundState.OUT: "Out of limits as found",
            FoundState.ADJUSTED: "Adjusted",
            FoundState.NOT_STATED: "Not stated",
        }[self]


RECORDED_FINDINGS = (FoundState.WITHIN, FoundState.OUT, FoundState.ADJUSTED)
"""What a person chooses from; `not-stated` is for calibrations of the first release, which did not ask."""


class InstrumentState(StrEnum):
    """Whether the workshop lets an instrument be used, whatever its calibration says."""

    IN_USE = "in-use"
    QUARANTINED = "quarantined"
    WITHDRAWN = "withdrawn"

    @property
    def label(self) -> str:
        """Words for people."""
        return self.value.replace("-", " ").capitalize()


class CalibrationState(StrEnum):
    """What the register says about an instrument."""

    IN_DATE = "in-date"
    DUE_SOON = "due-soon"
    OVERDUE = "overdue"
    NONE = "none"
    QUARANTINED = "quarantined"
    WITHDRAWN = "withdrawn"

    @property
    def label(self) -> str:
        """Words for people."""
        return {
            CalibrationState.IN_DATE: "In date",
            CalibrationState.DUE_SOON: "Due within 30 days",
            CalibrationState.OVERDUE: "Overdue",
            CalibrationState.NONE: "Not calibrated",
            CalibrationState.QUARANTINED: "Quarantined",
            CalibrationState.WITHDRAWN: "Withdrawn",
        }[self]


@dataclass(frozen=True, kw_only=True)
class CalibratedPoint:
    """One point of a certificate in the instrument's unit: `error` is indication minus reference.

    For a gauge pin `nominal` is what is marked on it and `error` its calibrated diameter minus that.
    """

    nominal: Decimal
    error: Decimal

    @property
    def diameter(self) -> Decimal:
        """A pin's calibrated diameter."""
        return self.nominal + self.error


@dataclass(frozen=True, kw_only=True)
class Calibration:
    """One calibration as its certificate says it; uncertainty and points in the instrument's unit.

    `on` is None where only the due date was recorded, as the first release did: it then counts from ever. `annulled`
    is one that was entered wrongly: it stays in the history and counts nowhere.
    """

    certificate: str
    on: date | None
    due: date
    laboratory: str
    expanded_uncertainty: Decimal
    k: Decimal
    found: FoundState
    points: tuple[CalibratedPoint, ...] = ()
    annulled: bool = False

    @property
    def covering(self) -> tuple[Decimal, Decimal]:
        """The expanded uncertainty that verdicts are guarded by, with its k.

        As stated, for a k over 2 covers about 95 % or more (few degrees of freedom, or a wider interval); a smaller k
        covers less, so U is brought to k = 2: U · 2 / k. JCGM 100 (GUM), 6.2 and 6.3; clauses from memory.
        """
        if self.k >= _USUAL_K:
            return self.expanded_uncertainty, self.k
        finest = Decimal(1).scaleb(int(self.expanded_uncertainty.as_tuple().exponent) - 2)
        return (self.expanded_uncertainty * _USUAL_K / self.k).quantize(finest, rounding=ROUND_UP), _USUAL_K


def in_force(calibrations: Iterable[Calibration], on: date) -> Calibration | None:
    """The newest calibration made on or before that day; of two on one day the one recorded later.

    `calibrations` in the order in which they were recorded; those annulled count as if they were not there.
    """
    newest: Calibration | None = None
    for one in calibrations:
        made = one.on or date.min
        if not one.annulled and made <= on and (newest is None or made >= (newest.on or date.min)):
            newest = one
    return newest


def asks_for_quarantine(recorded: Calibration, all_of_them: Sequence[Calibration]) -> bool:
    """Whether a calibration just recorded shuts the instrument away.

    Found out of limits it does, unless a newer calibration is known already: then the register's past was completed.
    """
    return recorded.found is FoundState.OUT and in_force(all_of_them, date.max) is recorded


def brings_back_out_of_limits(before: Sequence[Calibration], after: Sequence[Calibration]) -> bool:
    """Whether an annulment puts a calibration in force again that found the instrument out of limits.

    `before` and `after` are all calibrations without and with it, in the order in which they were recorded.
    """
    now = in_force(after, date.max)
    return now is not None and now.found is FoundState.OUT and now != in_force(before, date.max)


def calibration_state(
    due: date | None, today: date, state: InstrumentState = InstrumentState.IN_USE
) -> CalibrationState:
    """The state on that day; the due day itself is still in date. `due` None is an instrument without calibration."""
    if state is not InstrumentState.IN_USE:
        return CalibrationState(state.value)
    if due is None:
        return CalibrationState.NONE
    if due < today:
        return CalibrationState.OVERDUE
    return CalibrationState.DUE_SOON if due - today <= DUE_SOON else CalibrationState.IN_DATE


def due_in_words(due: date | None, today: date) -> str:
    """How far away the due day is."""
    if due is None:
        return "never calibrated"
    days = (due - today).days
    if days == 0:
        return "due today"
    count = f"{abs(days)} day{'' if abs(days) == 1 else 's'}"
    return f"due in {count}" if days > 0 else f"{count} late"
