"""What people choose from, as the controls of a form take it."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Protocol


@dataclass(frozen=True)
class Option:
    """One thing to choose; `note` stands below it in small print."""

    value: str
    label: str
    note: str = ""


class Labelled(Protocol):
    """A member of an enumeration with words for people."""

    @property
    def value(self) -> str:
        """The stored name."""

    @property
    def label(self) -> str:
        """The words."""


def options_of(members: Iterable[Labelled]) -> tuple[Option, ...]:
    """The members as options, in their order."""
    return tuple(Option(member.value, member.label) for member in members)
