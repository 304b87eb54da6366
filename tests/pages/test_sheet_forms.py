"""The forms of a limit sheet's items: what each kind takes, and what it refuses beside its field."""

import pytest

from service.actions.shop import Shop
from tests.pages.forms_on_page import Visitor, form_of, words_of
from tests.pages.sheet_editor import DRAFT, change, draft, error_at, item
from tests.small_sheet import SMALL_SHEET

NEW_ONES: tuple[tuple[str, dict[str, str], str], ...] = (
    (
        "size",
        {"limits_as": "class", "designation": "0.85 H9", "instruments": "bore-gauge"},
        "0.85 H9: 0.85 to 0.875 mm 1 reading With bore gauge",
    ),
    (
        "size",
        {"limits_as": "deviations", "nominal": "12", "lower_deviation_um": "−24", "upper_deviation_um": "-6"},
        "11.976 to 11.994 mm",
    ),
    ("size", {"limits_as": "limits", "unit": "N/mm", "lower": "190"}, "at least 190 N/mm"),
    (
        "size",
        {"limits_as": "limits", "upper": "3.8", "readings": "3", "repeats": "yes"},
        "at most 3.8 mm 3 readings of one place, their mean is judged",
    ),
    (
        "gauge-pins",
        {"holes": "5", "pins": "0.84; 0.88", "go_pin": "0.84", "reject_pin": "0.88"},
        "Go pin 0.84 mm enters each of 5 holes",
    ),
    ("ovality", {"sections": "5", "limit": "20 µm"}, "At most 0.02 mm"),
    (
        "visual",
        {"finding-1-label": "Clean", "finding-1-outcome": "acceptable", "magnification_min": "8"},
        "Clean: acceptable At 8 times magnification or more",
    ),
    ("yes-no", {"question": "Does it slide?", "required": "no"}, "Does it slide? No is required"),
)


@pytest.mark.parametrize(("kind", "typed", "said"), NEW_ONES)
def test_a_characteristic_of_each_kind_is_added(editor: Visitor, kind: str, typed: dict[str, str], said: str) -> None:
    shared = {"title": "A new one", "part": "body", "how": "Look.", "consequence": "replace"}
    answer = change(editor, f"{DRAFT}/characteristics/new?kind={kind}", **shared, **typed)
    assert answer.status_code == 303, words_of(answer)
    assert said in words_of(editor.get(DRAFT))


@pytest.mark.parametrize(
    ("designation", "said"),
    [
        ("25 I7", "no tolerance class I"),
        ("25 H19", "no grade 19"),
        ("0.85 A9", "does not use A for nominal sizes up to 1 mm"),
        ("600 H7", "up to 500 mm"),
        ("H7", "not a tolerance designation"),
        ("", "not a tolerance designation"),
    ],
)
def test_a_designation_that_iso_286_does_not_define_is_refused_beside_its_field(
    editor: Visitor, shop: Shop, designation: str, said: str
) -> None:
    path = item("characteristics", "needle-guide")
    refused = change(editor, path, designation=designation, title="Typed before")
    assert refused.status_code == 422
    assert said in error_at(refused, "designation")
    kept = form_of(refused, "/item").fields
    assert (kept["designation"], kept["title"]) == ([designation], ["Typed before"])
    assert draft(shop) == SMALL_SHEET


@pytest.mark.parametrize(
    ("section", "key", "field", "typed", "said"),
    [
        ("characteristics", "body-seat-width", "upper", "1.2 bar", "does not measure the same thing"),
        ("characteristics", "body-seat-width", "upper", "NaN", "not a number"),
        ("characteristics", "body-seat-width", "readings", "two", "whole number"),
        ("characteristics", "nozzle-holes", "pins", "0.84; wide", "not a number"),
        ("characteristics", "nozzle-holes", "go_pin", "1.234,5", "two ways"),
        ("characteristics", "needle-seat", "magnification_min", "8 mm", "bare number"),
        ("characteristics", "body-pin", "question", "", "Ask the question"),
        ("parts", "body", "name", "", "Name the part"),
        ("parts", "body", "key", "needle", "is taken"),
        ("parts", "body", "key", "a body", "letters, digits"),
        ("torques", "nut", "upper", "110 mm", "does not measure the same thing"),
        ("steps", "blow", "strokes_max", "3", ""),
        ("steps", "seat", "hold_s", "0", "1 to 3600"),
        ("steps", "external", "place-1-points_to", "", "which seal"),
    ],
)
def test_bad_input_stands_beside_its_field_and_nothing_is_stored(
    editor: Visitor, shop: Shop, section: str, key: str, field: str, typed: str, said: str
) -> None:
    refused = change(editor, item(section, key), **{field: typed})
    assert refused.status_code == 422
    assert said in error_at(refused, field)
    assert form_of(refused, "/item").fields[field] == [typed]
    assert draft(shop) == SMALL_SHEET


def test_a_finding_means_one_of_three_things(editor: Visitor) -> None:
    refused = change(editor, item("characteristics", "needle-seat"), **{"finding-2-outcome": "perhaps"})
    assert refused.status_code == 422
    assert "choose one" in error_at(refused, "finding-2-outcome")
    assert form_of(refused, "/item").fields["finding-2-label"] == ["Indentation"]


def test_the_limits_of_a_class_show_at_once_and_nothing_is_saved(editor: Visitor, shop: Shop) -> None:
    shown = change(editor, item("characteristics", "needle-guide"), designation="0.85 H9", show="yes")
    assert shown.status_code == 200
    assert "0.85 H9 is 0.85 to 0.875 mm 0 and +25 µm from 0.85 mm" in words_of(shown)
    assert draft(shop) == SMALL_SHEET


def test_the_part_that_is_swapped_is_the_one_on_the_page(editor: Visitor) -> None:
    part = editor.get("/limit-sheets/class-limits?designation=6+h6", part=True)
    page = editor.get(item("characteristics", "needle-guide"))
    assert " ".join(part.text.split()) in " ".join(page.text.split())
    assert "no tolerance class I" in editor.get("/limit-sheets/class-limits?designation=25+I7", part=True).text
