"""What the forms of a sheet's items share: their values, keys, choices, and numbers that may be left out."""

from collections.abc import Iterable
from decimal import Decimal
from enum import StrEnum
from typing import TypeVar

from service.actions.shop import Refused
from service.metrology.typed_numbers import plain
from service.pages.typed_forms import Typed
from service.workshop.limit_sheet import LimitSheet
from service.workshop.sheet_editing import Section, key_from, key_taken

Values = dict[str, str | list[str]]
E = TypeVar("E", bound=StrEnum)


def number(value: Decimal | None) -> str:
    """A number as it is typed; '' for none."""
    return "" if value is None else plain(value)


def tick(value: bool) -> str:
    """A box as it is sent."""
    return "yes" if value else ""


def words(typed: Typed, name: str, sentence: str) -> str:
    """A text that must not be empty; `sentence` says what to write."""
    text = typed.text(name)
    if not text:
        raise Refused("missing", sentence, name)
    return text


def quantity_or_none(typed: Typed, name: str, unit: str) -> Decimal | None:
    """A quantity in the unit, None where nothing was typed."""
    return typed.quantity(name, unit) if typed.text(name) else None


def members(typed: Typed, name: str, kinds: Iterable[E]) -> tuple[E, ...]:
    """Those of the list that were ticked, in the order of the list."""
    ticked = typed.many(name)
    return tuple(kind for kind in kinds if kind.value in ticked)


def key_of(typed: Typed, sheet: LimitSheet, section: Section, named: str, old_key: str | None) -> str:
    """The typed key; where none was typed the old one, or for a new item one made of its name."""
    typed_key = typed.text("key")
    if not typed_key:
        return old_key or key_from(named, lambda key: key_taken(sheet, section, key))
    plain_key = all(sign.isascii() and (sign.isalnum() or sign in "-_") for sign in typed_key)
    if typed_key != old_key and not (plain_key and len(typed_key) <= 40):
        raise Refused("key", "A key has up to 40 letters, digits, hyphens or underscores.", "key")
    return typed_key
