"""How a rig stands today, in a word with its mark; its gauges and its oil in words."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from service.metrology.typed_numbers import plain
from service.pages.instruments.places import place_of as place_of_instrument
from service.pages.instruments.places import plain_day
from service.pages.test_rigs.places import place_of
from service.records.instrument_reads import InstrumentLine
from service.workshop.calibration import due_in_words
from service.workshop.test_rig import CheckOfTheDay, RigOil, TestRig

INDICATIVE = "A run started on it now is indicative and supports no release."


@dataclass(frozen=True)
class Sign:
    """How a rig stands today: the mark, the word, the sentence below it."""

    mark: str
    label: str
    sentence: str


@dataclass(frozen=True)
class CheckButton:
    """The way to the check, loud while there is no good one of today."""

    href: str
    label: str
    kind: str


@dataclass(frozen=True)
class GaugeShown:
    """A gauge of a rig; `due` is '' and `standing` None where it was never calibrated."""

    href: str
    code: str
    due: str
    standing: str
    standing_label: str


@dataclass(frozen=True)
class OilShown:
    """The oil in a rig; `words` is '' where nobody recorded a filling. `overdue`: its last day is past."""

    words: str
    age: str
    due: str
    overdue: bool


def sign_of(rig: TestRig, check: CheckOfTheDay | None) -> Sign:
    """The sign for today, of which `check` is the newest check."""
    if not rig.in_use:
        return Sign("not-measured", "Out of use", "No run and no check is made on it.")
    if check is None:
        return Sign("not-measured", "Not checked today", INDICATIVE)
    made = f"Checked today, {check.at:%H:%M} UTC, by {check.person}."
    if check.good:
        return Sign("conforms", "Good", made)
    return Sign("does-not-conform", "Not good", f"{made} {INDICATIVE}")


def check_button(rig: TestRig, check: CheckOfTheDay | None) -> CheckButton | None:
    """None for a rig that is out of use."""
    if not rig.in_use:
        return None
    href = f"{place_of(rig.code)}/checks/new"
    kind = "secondary" if check is not None and check.good else "primary"
    return CheckButton(href, "Check it now" if check is None else "Check it again", kind)


def check_in_words(check: CheckOfTheDay | None) -> str:
    """Today's check in the middle of a line: `checked today 07:10 UTC, good`."""
    if check is None:
        return "not checked today"
    return f"checked today {check.at:%H:%M} UTC, {'good' if check.good else 'not good'}"


def gauges_shown(rig: TestRig, register: Iterable[InstrumentLine]) -> tuple[GaugeShown, ...]:
    """The rig's gauges with their calibration as the register has it today."""
    lines = {line.code: line for line in register}
    return tuple(
        GaugeShown(place_of_instrument(code), code, plain_day(line.due), line.standing.value, line.standing.label)
        for code in rig.gauges
        if (line := lines.get(code)) is not None
    )


def oil_shown(rig: TestRig, today: date) -> OilShown:
    """The oil in the rig and when it is due."""
    if rig.oil is None:
        return OilShown("", "", "", False)
    days = (today - rig.oil.changed_on).days
    age = "changed today" if days == 0 else f"{days} {'day' if days == 1 else 'days'} old"
    due = rig.oil_due
    if due is None:
        return OilShown(oil_in_words(rig.oil), age, "", False)
    return OilShown(oil_in_words(rig.oil), age, f"{plain_day(due)}, {due_in_words(due, today)}", due < today)


def oil_in_words(oil: RigOil) -> str:
    """Name and viscosity."""
    return f"{oil.name}, {plain(oil.viscosity_mm2_s)} mm²/s at 40 °C"
