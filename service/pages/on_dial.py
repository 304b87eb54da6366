"""Pressures in the unit that a rig's dial shows, with bar beside."""

from decimal import Decimal

from service.metrology.typed_numbers import plain
from service.pages.overhauls.small_forms import Fact
from service.workshop.shown_pressure import about, at_least, at_most, is_bar


def read_on_dial(label: str, bar: Decimal, unit: str) -> Fact:
    """A pressure that was read, or is no limit."""
    return _fact(label, about(bar, unit=unit), bar, unit)


def least_on_dial(label: str, bar: Decimal, unit: str) -> Fact:
    """A pressure that has to be reached."""
    return _fact(label, at_least(bar, unit), bar, unit)


def most_on_dial(label: str, bar: Decimal, unit: str) -> Fact:
    """A pressure, or a difference of pressures, that may not be exceeded."""
    return _fact(label, at_most(bar, unit), bar, unit)


def in_words(fact: Fact) -> str:
    """The value in the middle of a sentence."""
    return f"{fact.value} ({fact.note})" if fact.note else fact.value


def unit_hint(unit: str) -> str:
    """What stands below a field for a pressure."""
    return f"A bare number is in {unit}, as on the dial. Another unit may be typed with it: 35 MPa, 5000 psi."


def _fact(label: str, shown: str, bar: Decimal, unit: str) -> Fact:
    return Fact(label, shown, "" if is_bar(unit) else f"{plain(bar)} bar")
