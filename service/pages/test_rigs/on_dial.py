"""Pressures of a rig in the unit that its dial shows, with bar beside."""

from decimal import Decimal

from service.metrology.typed_numbers import plain
from service.pages.overhauls.small_forms import Fact
from service.workshop.shown_pressure import about, at_least, at_most, is_bar, typed_pressure_bar


def read_on_dial(label: str, bar: Decimal, unit: str) -> Fact:
    """A pressure that was read."""
    return _fact(label, about(bar, unit=unit), bar, unit)


def least_on_dial(label: str, bar: Decimal, unit: str) -> Fact:
    """A pressure that has to be reached: whoever reads it off the dial and types it has reached it."""
    near = about(bar, unit=unit)
    return _fact(label, near if typed_pressure_bar(near, unit, label) >= bar else at_least(bar, unit), bar, unit)


def most_on_dial(label: str, bar: Decimal, unit: str) -> Fact:
    """A difference of pressures that may not be exceeded."""
    near = about(bar, unit=unit)
    return _fact(label, near if typed_pressure_bar(near, unit, label) <= bar else at_most(bar, unit), bar, unit)


def in_words(fact: Fact) -> str:
    """The value in the middle of a sentence."""
    return f"{fact.value} ({fact.note})" if fact.note else fact.value


def _fact(label: str, shown: str, bar: Decimal, unit: str) -> Fact:
    return Fact(label, shown, "" if is_bar(unit) else f"{plain(bar)} bar")
