"""Editing a limit sheet item by item. Every function gives a new sheet; faults are allowed until approval."""

import re
import unicodedata
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from enum import StrEnum
from typing import Any

from service.metrology.errors import DomainError
from service.workshop.limit_sheet import (
    AnyCharacteristic,
    Assembly,
    LimitSheet,
    Part,
    TorquePoint,
)
from service.workshop.test_plan import AnyStep, TestPlan

Item = Part | Assembly | AnyCharacteristic | TorquePoint | AnyStep


class SheetEditError(DomainError):
    """An edit that names an item which is not there, or a key that is taken."""


class Section(StrEnum):
    """The lists of a sheet, in the order in which people read them."""

    PARTS = "parts"
    ASSEMBLIES = "assemblies"
    CHARACTERISTICS = "characteristics"
    TORQUES = "torques"
    STEPS = "steps"

    @property
    def noun(self) -> str:
        """What one item of the list is called."""
        return {
            Section.PARTS: "part",
            Section.ASSEMBLIES: "matched assembly",
            Section.CHARACTERISTICS: "characteristic",
            Section.TORQUES: "torque",
            Section.STEPS: "test step",
        }[self]


def blank_sheet(injector_type: str, title: str) -> LimitSheet:
    """A sheet with nothing on it yet: to be filled in, and far from approval."""
    nothing = Decimal(0)
    return LimitSheet(
        injector_type=injector_type,
        title=title,
        document_reference="",
        document_revision="",
        notice="",
        parts=(),
        assemblies=(),
        characteristics=(),
        torques=(),
        test_plan=TestPlan(opening_set_bar=nothing, opening_lower_bar=nothing, opening_upper_bar=nothing, steps=()),
    )


def items_of(sheet: LimitSheet, section: Section) -> tuple[Item, ...]:
    """The list in its order."""
    match section:
        case Section.PARTS:
            return sheet.parts
        case Section.ASSEMBLIES:
            return sheet.assemblies
        case Section.CHARACTERISTICS:
            return sheet.characteristics
        case Section.TORQUES:
            return sheet.torques
        case Section.STEPS:
            return sheet.test_plan.steps


def item_of(sheet: LimitSheet, section: Section, key: str) -> Item:
    """The first item with that key. Raises SheetEditError `no-item`."""
    return items_of(sheet, section)[_place(sheet, section, key)]


def insert_item(sheet: LimitSheet, section: Section, item: Item) -> LimitSheet:
    """The sheet with the item at the end of its list. Raises SheetEditError `key-taken`."""
    _check_free(sheet, section, item.key)
    return _with(sheet, section, (*items_of(sheet, section), item))


def replace_item(sheet: LimitSheet, section: Section, key: str, item: Item) -> LimitSheet:
    """The sheet with the item in the place of the one with that key.

    Where the key of a part or an assembly changes, what named it follows, unless another one still has the old key.
    Raises SheetEditError `no-item` or `key-taken`.
    """
    place = _place(sheet, section, key)
    if item.key != key:
        _check_free(sheet, section, item.key)
    items = items_of(sheet, section)
    changed = _with(sheet, section, (*items[:place], item, *items[place + 1 :]))
    if item.key == key or any(other.key == key for other in items_of(changed, section)):
        return changed
    return _renamed(changed, section, key, item.key)


def move_item(sheet: LimitSheet, section: Section, key: str, by: int) -> LimitSheet:
    """The sheet with the item `by` places further down (negative: up); at an end it stays. Raises SheetEditError."""
    place = _place(sheet, section, key)
    items = list(items_of(sheet, section))
    item = items.pop(place)
    items.insert(min(max(place + by, 0), len(items)), item)
    return _with(sheet, section, tuple(items))


def remove_item(sheet: LimitSheet, section: Section, key: str) -> LimitSheet:
    """The sheet without the item. What still names it becomes a fault of the sheet. Raises SheetEditError."""
    place = _place(sheet, section, key)
    items = items_of(sheet, section)
    return _with(sheet, section, items[:place] + items[place + 1 :])


def key_from(words: str, taken: Callable[[str], bool]) -> str:
    """A key made of the words: small letters, digits, hyphens; numbered where it is taken."""
    plain = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode()
    stem = re.sub(r"[^a-z0-9]+", "-", plain.lower()).strip("-")[:40].strip("-") or "item"
    key, number = stem, 2
    while taken(key):
        key, number = f"{stem}-{number}", number + 1
    return key


def key_taken(sheet: LimitSheet, section: Section, key: str) -> bool:
    """Whether the key is used where it must be the only one: parts and assemblies share one space of keys."""
    shared = (Section.PARTS, Section.ASSEMBLIES)
    return any(
        item.key == key for one in (shared if section in shared else (section,)) for item in items_of(sheet, one)
    )


def _check_free(sheet: LimitSheet, section: Section, key: str) -> None:
    if key_taken(sheet, section, key):
        raise SheetEditError("key-taken", f"The key “{key}” is taken: use another.", "key")


def _place(sheet: LimitSheet, section: Section, key: str) -> int:
    for place, item in enumerate(items_of(sheet, section)):
        if item.key == key:
            return place
    raise SheetEditError("no-item", f"There is no {section.noun} “{key}” on this sheet any more.")


def _with(sheet: LimitSheet, section: Section, items: tuple[Any, ...]) -> LimitSheet:
    match section:
        case Section.PARTS:
            return replace(sheet, parts=items)
        case Section.ASSEMBLIES:
            return replace(sheet, assemblies=items)
        case Section.CHARACTERISTICS:
            return replace(sheet, characteristics=items)
        case Section.TORQUES:
            return replace(sheet, torques=items)
        case Section.STEPS:
            return replace(sheet, test_plan=replace(sheet.test_plan, steps=items))


def _renamed(sheet: LimitSheet, section: Section, old: str, new: str) -> LimitSheet:
    if section is Section.PARTS:
        followed = tuple(replace(one, part=new) if one.part == old else one for one in sheet.characteristics)
        return replace(sheet, characteristics=followed)
    if section is Section.ASSEMBLIES:
        parts = tuple(replace(part, assembly=new) if part.assembly == old else part for part in sheet.parts)
        return replace(sheet, parts=parts)
    return sheet
