"""The spray holes at the bench: each bracket, the nozzle as a whole, a picture of pins that contradict each other."""

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest

from service.actions.course import return_unrepaired
from service.actions.instruments import save_instrument
from service.actions.sheets import approve_draft, import_sheet
from service.actions.shop import Shop
from service.records.sheet_file import sheet_to_json
from service.workshop.calibration import CalibratedPoint
from service.workshop.vocabulary import InstrumentKind
from tests.calibrating import calibrate
from tests.pages.at_the_bench import Injector, received
from tests.pages.forms_on_page import Visitor, form_of, words_of
from tests.pages.typed_at_the_bench import pin_answers, record, strip
from tests.registered_fleet import Fleet
from tests.small_sheet import SMALL_SHEET, TYPE_CODE

MARKS = (D("0.84"), D("0.85"), D("0.88"))


@pytest.fixture
def stripped(technician: Visitor, injector: Injector) -> Injector:
    """On the bench in parts."""
    return strip(technician, injector)


def calibrated(shop: Shop, fleet: Fleet, *errors: str) -> None:
    """The set's three pins calibrated with those errors in mm, U = 1 µm."""
    save_instrument(shop, fleet.manager, code="PINS-1", kind=InstrumentKind.PIN_SET, unit="mm", pins=MARKS, version=2)
    points = tuple(CalibratedPoint(nominal=mark, error=D(error)) for mark, error in zip(MARKS, errors, strict=True))
    calibrate(shop, fleet, "PINS-1", points=points, expanded_uncertainty=D("0.001"))


def test_each_hole_is_shown_with_its_bracket_uncertainty_and_verdict(
    technician: Visitor, shop: Shop, fleet: Fleet, stripped: Injector
) -> None:
    calibrated(shop, fleet, "0", "0.0004", "-0.0002")
    part = record(technician, stripped, "nozzle-holes", pin_answers("een", "een", "een", "een"), part=True)
    words = words_of(part)
    assert "1 0.8504 to 0.8798 0.8494 to 0.8808 0.8651 ± 0.0171 Conforms" in words
    assert "Pins count by their calibrated diameters" in words
    assert "Against nominal not known: the limit sheet gives no nominal diameter" in words


def test_a_hole_that_is_open_to_one_side_says_so_and_is_drawn_as_failed(
    technician: Visitor, stripped: Injector
) -> None:
    part = record(technician, stripped, "nozzle-holes", pin_answers("een", "een", "eee", "een"), part=True)
    words = words_of(part)
    assert "3 0.88 or more 0.879 or more open Does not conform" in words
    assert "Spread, flow area not known: the size of hole 3 is open to one side" in words
    assert part.text.count('<g class="hole-does-not-conform">') == 1


def test_a_hole_that_a_worn_reject_pin_enters_is_drawn_as_not_proven(
    technician: Visitor, shop: Shop, fleet: Fleet, stripped: Injector
) -> None:
    calibrated(shop, fleet, "0", "0", "-0.004")
    part = record(technician, stripped, "nozzle-holes", pin_answers("een", "eee", "een", "een"), part=True)
    assert part.text.count('<g class="hole-not-proven">') == 1
    assert part.text.count('<g class="hole-conforms">') == 3
    assert "it is worn under its mark and enters good holes too" in words_of(part)


def test_a_set_with_a_worn_go_pin_is_refused_beside_the_instrument_and_nothing_typed_is_lost(
    technician: Visitor, shop: Shop, fleet: Fleet, stripped: Injector
) -> None:
    calibrated(shop, fleet, "0", "-0.003", "0")
    typed = pin_answers("een", "een", "een", "een")
    answer = record(technician, stripped, "nozzle-holes", typed)
    assert answer.status_code == 422
    assert "The 0.85 mm go pin of PINS-1 has worn: it measures 0.847 mm" in words_of(answer)
    assert 'id="instrument-error"' in answer.text
    kept = form_of(answer, "/examination/nozzle-holes").fields
    assert {name: kept[name][0] for name in typed} == typed
    assert stripped.record.finding("nozzle-holes") is None


def test_contradictory_pins_are_refused_with_a_picture_at_each_hole_where_it_happened(
    technician: Visitor, stripped: Injector
) -> None:
    typed = pin_answers("een", "nen", "een", "ene")
    answer = record(technician, stripped, "nozzle-holes", typed)
    assert answer.status_code == 422
    words = words_of(answer)
    assert "Hole 2: the 0.85 mm pin enters but the smaller 0.84 mm pin does not" in words
    assert "Hole 4: the 0.88 mm pin enters but the smaller 0.85 mm pin does not" in words
    for hole in (2, 4):
        assert f'id="hole-{hole}-error"' in answer.text
        assert f'aria-labelledby="pins-of-hole-{hole}-title pins-of-hole-{hole}-description"' in answer.text
    assert "Hole 2 as it was recorded" in answer.text
    assert "0.84 mm does not, contradicts; 0.85 mm enters, contradicts; 0.88 mm does not." in words
    assert 'id="pins-of-hole-1-title"' not in answer.text
    kept = form_of(answer, "/examination/nozzle-holes").fields
    assert {name: kept[name][0] for name in typed} == typed
    assert stripped.record.finding("nozzle-holes") is None


def test_the_change_since_an_earlier_overhaul_of_the_same_nozzle_is_shown(
    technician: Visitor, shop: Shop, fleet: Fleet, injector: Injector
) -> None:
    sound = pin_answers("een", "een", "een", "een")
    strip(technician, injector)
    record(technician, injector, "nozzle-holes", sound)
    return_unrepaired(shop, fleet.manager, injector.number, injector.form(), reason="Owner asks.")
    again = strip(technician, received(shop, fleet))
    words = words_of(record(technician, again, "nozzle-holes", sound, part=True))
    assert f"Change since {injector.number} 0 % (U = " in words


def asked(shop: Shop, fleet: Fleet, **limits: Any) -> None:
    """A new revision of the sheet in force, its spray holes with further limits."""
    items = [replace(one, **limits) if one.key == "nozzle-holes" else one for one in SMALL_SHEET.characteristics]
    import_sheet(
        shop, fleet.manager, sheet_to_json(replace(SMALL_SHEET, characteristics=tuple(items))), type_code=TYPE_CODE
    )
    approve_draft(shop, fleet.manager, type_code=TYPE_CODE, version=1)


def test_the_limits_of_the_nozzle_stand_on_the_plate_and_decide(technician: Visitor, shop: Shop, fleet: Fleet) -> None:
    asked(shop, fleet, nominal=D("0.86"), spread_limit=D("0.04"), area_most=D(104))
    stripped = strip(technician, received(shop, fleet))
    words = words_of(technician.get(f"{stripped.address}/examination/nozzle-holes"))
    assert "Spread at most 0.04 mm Flow area at most 104 % of nominal" in words
    part = record(technician, stripped, "nozzle-holes", pin_answers("een", "een", "een", "een"), part=True)
    words = words_of(part)
    assert "Not proven" in words
    # Holes of 0.849 to 0.881 mm: (0.849 ÷ 0.86)² to (0.881 ÷ 0.86)² of the nominal area.
    assert "The flow area is 97.45 % to 104.95 % of nominal; allowed at most 104 % of nominal: not proven." in words
    assert "The holes differ by 0 to 0.032 mm; allowed are 0.04 mm." in words


def test_the_pins_for_the_class_and_what_the_set_at_hand_has_of_them_stand_at_the_bench(
    technician: Visitor, shop: Shop, fleet: Fleet
) -> None:
    calibrated(shop, fleet, "0", "0.0024", "-0.0002")
    asked(shop, fleet, designation="0.85 H10", wear_allowance=D("0.004"))
    stripped = strip(technician, received(shop, fleet))
    words = words_of(technician.get(f"{stripped.address}/examination/nozzle-holes"))
    assert "Pins for 0.85 H10 A good hole lies between 0.85 and 0.89 mm" in words
    assert "New 0.854 0.89" in words
    assert "PINS-1 0.85 mm (measured 0.8524 mm), 0.0014 mm left to wear 0.88 mm (measured 0.8798 mm)" in words


def test_a_set_without_a_pin_that_proves_the_limit_says_so(technician: Visitor, shop: Shop, fleet: Fleet) -> None:
    calibrated(shop, fleet, "0", "0.0004", "0")
    asked(shop, fleet, designation="0.85 H10")
    stripped = strip(technician, received(shop, fleet))
    words = words_of(technician.get(f"{stripped.address}/examination/nozzle-holes"))
    assert "PINS-1 none proves the limit 0.88 mm (measured 0.88 mm)" in words
