"""What to expect of an opening pressure, in words."""

from service.hydraulics.disc_search import PressureBand
from service.hydraulics.expected_opening import ExpectedOpening, Outlook
from service.hydraulics.pressure_drift import LEAST_PERIODS
from service.metrology.typed_numbers import grouped, plain
from service.workshop.opening_outlook import ComingDrift, DueBy


def too_few_words(known: int) -> str:
    """Why nothing can be expected yet."""
    return (
        f"{known} of at least {LEAST_PERIODS} times in service are known with hours, as-left and as-found "
        "pressure: too few for a line and what to expect next."
    )


def coming_words(coming: ComingDrift, expected: ExpectedOpening | None) -> str:
    """The rate, when the next overhaul is due and by what, and what is expected of it."""
    change = coming.change
    rate = f"{signed(change.bar_per_1000_h)} bar in 1000 h, by a line through {change.periods} times in service."
    if expected is None:
        span = f"{signed(change.lower_bar)} to {signed(change.upper_bar)} bar"
        told = f"A change of {span} is expected until then (95 %), once it is set again."
    else:
        begin = f"Set to {expected.as_left_bar:g} bar again, it" if expected.supposed else "It"
        told = (
            f"{begin} is then expected to open at {expected.bar:.1f} bar, with 95 % between {expected.lower_bar:.1f} "
            f"and {expected.upper_bar:.1f} bar. {_outlook(expected)}"
        )
    return f"{rate} {_due(coming)} {told}"


def signed(value: float) -> str:
    """A change with its sign, to a tenth."""
    return f"{value:+.1f}".replace("-", "−")


def _due(coming: ComingDrift) -> str:
    hours = f"{grouped(coming.due.hours)} h"
    if coming.due.by is DueBy.LIMIT_SHEET:
        told = f"The next overhaul is due after {hours}, as the limit sheet states."
    else:
        told = f"The limit sheet states no hours, so the next overhaul is taken for due after {hours}, the mean so far."
    if coming.drawn_on:
        told += f" It ran at most {grouped(coming.longest_hours)} h so far: the line is drawn on beyond what is known."
    return told


def _outlook(expected: ExpectedOpening) -> str:
    band = _band(expected.band)
    match expected.outlook:
        case Outlook.INSIDE:
            return f"That lies inside the band, {band}."
        case Outlook.MAY_LEAVE:
            return f"It may have left the band by then, {band}."
        case Outlook.LEAVES:
            after = round(expected.leaves_after_hours or 0, -1)
            return f"It is expected to leave the band, {band}, after about {grouped(round(after))} h."
        case Outlook.LEFT_OUTSIDE:
            return f"It left the workshop outside the band that is in force now, {band}."


def _band(band: PressureBand) -> str:
    return f"{plain(band.lower_bar)} to {plain(band.upper_bar)} bar"
