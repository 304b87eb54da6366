"""Editing a limit sheet: each edit gives a new sheet, and what an edit breaks becomes a fault and never a crash."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.workshop.limit_sheet import Assembly, Part
from service.workshop.sheet_checks import sheet_faults
from service.workshop.sheet_editing import (
    Section,
    SheetEditError,
    blank_sheet,
    insert_item,
    item_of,
    items_of,
    key_from,
    move_item,
    remove_item,
    replace_item,
)
from tests.small_sheet import SMALL_SHEET

PLACES = [(section, item.key) for section in Section for item in items_of(SMALL_SHEET, section)]


def keys(sheet, section):
    return [item.key for item in items_of(sheet, section)]


def test_a_new_part_stands_at_the_end_of_the_list_and_the_old_sheet_is_untouched():
    grown = insert_item(SMALL_SHEET, Section.PARTS, Part(key="circlip", name="Circlip"))
    assert keys(grown, Section.PARTS) == [*keys(SMALL_SHEET, Section.PARTS), "circlip"]
    assert "circlip" not in keys(SMALL_SHEET, Section.PARTS)


@pytest.mark.parametrize("section", [Section.PARTS, Section.ASSEMBLIES])
def test_parts_and_assemblies_share_one_space_of_keys(section):
    item = Part(key="nozzle-set", name="x") if section is Section.PARTS else Assembly(key="needle", name="x")
    with pytest.raises(SheetEditError) as refused:
        insert_item(SMALL_SHEET, section, item)
    assert (refused.value.code, refused.value.field) == ("key-taken", "key")


@pytest.mark.parametrize(("section", "key"), PLACES)
def test_an_item_replaced_by_itself_changes_nothing(section, key):
    assert replace_item(SMALL_SHEET, section, key, item_of(SMALL_SHEET, section, key)) == SMALL_SHEET


@pytest.mark.parametrize(("section", "key"), PLACES)
def test_a_removed_item_is_gone_and_all_others_keep_their_order(section, key):
    left = remove_item(SMALL_SHEET, section, key)
    assert keys(left, section) == [other for other in keys(SMALL_SHEET, section) if other != key]
    for other in Section:
        if other is not section:
            assert items_of(left, other) == items_of(SMALL_SHEET, other)


@given(st.sampled_from(PLACES), st.integers(-20, 20))
def test_moving_keeps_every_item_and_stops_at_the_ends(place, by):
    section, key = place
    before = keys(SMALL_SHEET, section)
    after = keys(move_item(SMALL_SHEET, section, key, by), section)
    assert sorted(after) == sorted(before)
    assert after.index(key) == min(max(before.index(key) + by, 0), len(before) - 1)
    assert [one for one in after if one != key] == [one for one in before if one != key]


def test_up_and_down_again_is_where_it_was():
    up = move_item(SMALL_SHEET, Section.STEPS, "seat", -1)
    assert keys(up, Section.STEPS)[:3] == ["vent", "seat", "blow"]
    assert move_item(up, Section.STEPS, "seat", 1) == SMALL_SHEET


def test_a_removed_part_that_characteristics_still_name_is_a_fault_at_each_of_them():
    faults = sheet_faults(remove_item(SMALL_SHEET, Section.PARTS, "needle"))
    named = {fault.place for fault in faults if "“needle” is not listed" in fault.sentence}
    assert named == {"characteristics.needle-seat", "characteristics.needle-guide"}


def test_a_removed_assembly_that_parts_still_name_is_a_fault_at_each_part():
    faults = sheet_faults(remove_item(SMALL_SHEET, Section.ASSEMBLIES, "nozzle-set"))
    assert {fault.place for fault in faults} == {"parts.nozzle", "parts.needle", "parts.spring"}


def test_characteristics_follow_a_part_whose_key_changes():
    renamed = replace_item(SMALL_SHEET, Section.PARTS, "needle", Part(key="spindle", name="Spindle"))
    assert [item.key for item in renamed.characteristics_of("spindle")] == ["needle-seat", "needle-guide"]
    assert renamed.characteristics_of("needle") == ()


def test_parts_follow_an_assembly_whose_key_changes():
    renamed = replace_item(SMALL_SHEET, Section.ASSEMBLIES, "nozzle-set", Assembly(key="pair", name="Pair"))
    assert [part.key for part in renamed.members("pair")] == ["nozzle", "needle", "spring"]
    assert sheet_faults(renamed) == ()


def test_a_key_cannot_be_changed_to_one_that_is_taken():
    with pytest.raises(SheetEditError, match="taken"):
        replace_item(SMALL_SHEET, Section.PARTS, "needle", Part(key="body", name="Needle"))


@pytest.mark.parametrize("edit", [item_of, remove_item])
def test_an_item_that_is_not_there_any_more_is_named(edit):
    with pytest.raises(SheetEditError, match="no test step “gone”"):
        edit(SMALL_SHEET, Section.STEPS, "gone")


def test_an_empty_sheet_has_faults_and_no_crash():
    places = {fault.place for fault in sheet_faults(blank_sheet("NEW-1", "New"))}
    assert {"document_reference", "parts", "characteristics", "test_plan", "test_plan.steps"} <= places


@pytest.mark.parametrize(
    ("words", "taken", "key"),
    [
        ("Seat of the needle", (), "seat-of-the-needle"),
        ("Düse, Ø 0,85", (), "duse-0-85"),
        ("Nozzle", ("nozzle", "nozzle-2"), "nozzle-3"),
        ("弁", (), "item"),
    ],
)
def test_a_key_is_made_of_the_words_and_numbered_where_it_is_taken(words, taken, key):
    assert key_from(words, lambda one: one in taken) == key
