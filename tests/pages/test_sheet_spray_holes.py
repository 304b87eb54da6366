"""The limits of spray holes on a limit sheet: typed, shown, refused beside their field; pins proposed for a class."""

from decimal import Decimal as D

import pytest

from service.actions.shop import Shop
from service.workshop.limit_sheet import PinCharacteristic
from tests.pages.forms_on_page import Visitor, form_of, words_of
from tests.pages.sheet_editor import DRAFT, change, draft, error_at, item
from tests.small_sheet import SMALL_SHEET

HOLES = item("characteristics", "nozzle-holes")


def stored(shop: Shop) -> PinCharacteristic:
    found = draft(shop).characteristic_by_key["nozzle-holes"]
    assert isinstance(found, PinCharacteristic)
    return found


def test_nominal_size_spread_and_flow_area_are_kept_and_read_on_the_sheet(editor: Visitor, shop: Shop) -> None:
    typed = {"nominal": "0,86", "spread_limit": "30 µm", "area_least": "95 %", "area_most": "110"}
    assert change(editor, HOLES, **typed).status_code == 303
    found = stored(shop)
    assert (found.nominal, found.spread_limit) == (D("0.86"), D("0.03"))
    assert (found.area_least, found.area_most, found.designation) == (D(95), D(110), None)
    words = words_of(editor.get(DRAFT))
    assert "Nominal diameter when new: 0.86 mm Hole to hole at most 0.03 mm Flow area 95 to 110 % of nominal" in words
    again = form_of(editor.get(HOLES), "/item").fields
    assert {name: again[name][0] for name in typed} == {
        "nominal": "0.86",
        "spread_limit": "0.03",
        "area_least": "95",
        "area_most": "110",
    }


def test_a_class_and_its_wear_allowance_are_kept_and_read_on_the_sheet(editor: Visitor, shop: Shop) -> None:
    assert change(editor, HOLES, designation="ø0,85 H11", wear_allowance="2 µm").status_code == 303
    assert (stored(shop).designation, stored(shop).wear_allowance) == ("0.85 H11", D("0.002"))
    words = words_of(editor.get(DRAFT))
    assert "Holes 0.85 H11: 0.85 to 0.91 mm Wear allowance of the go pin: 0.002 mm" in words


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("nominal", "wide", "not a number"),
        ("nominal", "0.86 bar", "does not measure the same thing"),
        ("designation", "0.85 I9", "no tolerance class I"),
        ("spread_limit", "NaN", "not a number"),
        ("area_least", "95 mm", "bare number, such as 95"),
        ("area_most", "1.000,5", "two ways"),
    ],
)
def test_what_cannot_be_read_is_refused_beside_its_field(
    editor: Visitor, shop: Shop, field: str, typed: str, said: str
) -> None:
    refused = change(editor, HOLES, **{field: typed, "title": "Typed before"})
    assert refused.status_code == 422
    assert said in error_at(refused, field)
    kept = form_of(refused, "/item").fields
    assert (kept[field], kept["title"]) == ([typed], ["Typed before"])
    assert draft(shop) == SMALL_SHEET


def test_limits_that_make_no_sense_together_are_listed_on_the_draft(editor: Visitor) -> None:
    assert change(editor, HOLES, designation="0.85 H9", area_most="110").status_code == 303
    assert "The reject pin is over the largest size 0.875 mm of 0.85 H9" in words_of(editor.get(DRAFT))


def test_the_pins_of_the_class_are_proposed_with_wear_before_anything_is_saved(editor: Visitor, shop: Shop) -> None:
    typed = {"designation": "0.85 H9", "wear_allowance": "2 µm", "pins_increment": "5", "pins_uncertainty": "1"}
    words = words_of(change(editor, HOLES, **typed, show="yes"))
    assert "Pins for 0.85 H9 A good hole lies between 0.85 and 0.875 mm" in words
    assert "New 0.852 0.875" in words
    assert "To buy 0.855 0.87" in words
    assert "Between them, to bracket a hole: 0.86, 0.865 mm." in words
    assert draft(shop) == SMALL_SHEET


def test_the_part_that_is_swapped_in_while_typing_says_the_same(editor: Visitor) -> None:
    asked = "designation=0.85+H9&wear_allowance=0.002&pins_increment=5&pins_uncertainty=1"
    part = editor.get(f"/limit-sheets/class-pins?{asked}")
    assert "<html" not in part.text
    assert "To buy 0.855 0.87" in words_of(part)


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("", "Type the class of the holes"),
        ("designation=0.85+h9", "Gauge pins try holes"),
        ("designation=0.85+H9&wear_allowance=1", "leaves nothing of the tolerance"),
        ("designation=0.85+H9&pins_increment=0", "give over zero"),
        ("designation=0.85+H9&pins_increment=many", "not a number"),
    ],
)
def test_where_there_are_no_pins_it_says_why(editor: Visitor, asked: str, said: str) -> None:
    assert said in words_of(editor.get(f"/limit-sheets/class-pins?{asked}"))


def test_only_a_manager_is_shown_the_part(technician: Visitor) -> None:
    assert technician.get("/limit-sheets/class-pins?designation=0.85+H9").status_code == 403
