"""The invented limit sheets: without fault, by the published schema, the same byte for byte after a journey."""

import json
from pathlib import Path
from typing import Any, get_args

import pytest
from jsonschema import Draft202012Validator
from jsonschema.exceptions import ValidationError

from seed_demo.cast import TYPE_NAMES
from seed_demo.foundation import SHEET_FILES, sheet_file
from service.actions.fleets import save_injector_type
from service.actions.sheets import export_sheet, import_sheet
from service.actions.shop import Shop
from service.paths import SHARED
from service.records.sheet_file import sheet_from_json, sheet_schema, sheet_to_json
from service.workshop.limit_sheet import AnyCharacteristic, LimitSheet, VisualCharacteristic
from service.workshop.sheet_checks import sheet_faults
from service.workshop.test_plan import (
    AnyStep,
    ExternalTightnessStep,
    OpeningPressureStep,
    SeatTightnessStep,
    StrokesStep,
)
from service.workshop.vocabulary import Disposition, FindingOutcome
from tests.registered_fleet import Fleet

SCHEMA = SHARED / "schemas" / "limit-sheet.schema.json"
FILES = sorted(SHEET_FILES.glob("*.json"))


def _sheet(file: Path) -> LimitSheet:
    return sheet_from_json(file.read_bytes())


each_file = pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)


def test_there_is_a_sheet_for_every_type_of_the_demonstration() -> None:
    assert sorted(sheet_file(code) for code in TYPE_NAMES) == FILES
    assert {_sheet(file).injector_type for file in FILES} == set(TYPE_NAMES)


def test_the_published_schema_is_the_one_that_the_code_reads_by() -> None:
    assert json.loads(SCHEMA.read_text(encoding="utf-8")) == sheet_schema()
    Draft202012Validator.check_schema(sheet_schema())


@each_file
def test_the_sheet_is_without_fault_and_says_that_it_is_invented(file: Path) -> None:
    sheet = _sheet(file)
    assert sheet_faults(sheet) == ()
    assert "invented" in sheet.notice
    assert "invented" in sheet.title


@each_file
def test_the_sheet_is_valid_by_the_published_schema(file: Path) -> None:
    Draft202012Validator(json.loads(SCHEMA.read_text(encoding="utf-8"))).validate(json.loads(file.read_bytes()))


@pytest.mark.parametrize(
    ("path", "value"),
    [
        (("format",), "spindlebook-limit-sheet/0"),
        (("parts", 0, "colour"), "red"),
        (("characteristics", 0, "kind"), "smell"),
        (("test_plan", "opening_set_bar"), None),
    ],
)
def test_the_schema_refuses_what_the_reader_refuses(path: tuple[Any, ...], value: object) -> None:
    broken = json.loads(FILES[0].read_bytes())
    place = broken
    for step in path[:-1]:
        place = place[step]
    place[path[-1]] = value
    with pytest.raises(ValidationError):
        Draft202012Validator(sheet_schema()).validate(broken)
    with pytest.raises(ValueError):  # noqa: PT011 - the reader's own refusals are tested with the reader
        sheet_from_json(json.dumps(broken))


@each_file
def test_the_sheet_comes_back_byte_for_byte_from_import_and_export(file: Path, shop: Shop, fleet: Fleet) -> None:
    text = file.read_text(encoding="utf-8")
    sheet = sheet_from_json(text)
    assert sheet_to_json(sheet) == text
    code = sheet.injector_type
    save_injector_type(shop, fleet.manager, code=code, name="Type of the demonstration (invented)")
    revision = import_sheet(shop, fleet.manager, text, type_code=code)
    assert export_sheet(shop, type_code=code, revision=revision) == text


def test_the_sheets_together_show_every_kind_of_characteristic_and_every_consequence() -> None:
    items = [item for file in FILES for item in _sheet(file).characteristics]
    assert {type(item) for item in items} == set(get_args(AnyCharacteristic))
    assert {item.consequence for item in items} == set(Disposition) - {Disposition.KEEP}


def test_the_sheets_together_show_every_kind_of_bench_step_and_each_says_what_to_do_on_a_fail() -> None:
    steps = [step for file in FILES for step in _sheet(file).test_plan.steps]
    assert {type(step) for step in steps} == set(get_args(AnyStep))
    assert all(step.causes and step.on_fail for step in steps)


@each_file
def test_the_sheet_keeps_to_what_the_trade_does(file: Path) -> None:
    """Common practice, no source: 50 bar margin, 5 to 10 strokes, three readings, 100 bar outside, five discs."""
    sheet = _sheet(file)
    steps = {type(step): step for step in sheet.test_plan.steps}
    strokes, seat = steps[StrokesStep], steps[SeatTightnessStep]
    opening, external = steps[OpeningPressureStep], steps[ExternalTightnessStep]
    assert isinstance(strokes, StrokesStep)
    assert isinstance(seat, SeatTightnessStep)
    assert isinstance(opening, OpeningPressureStep)
    assert isinstance(external, ExternalTightnessStep)
    assert (strokes.strokes_min, strokes.strokes_max) == (5, 10)
    assert seat.margin_bar == 50
    assert opening.strokes_min >= 3
    assert external.pressure_bar == 100
    assert all(place.points_to for place in external.places)
    assert sheet.discs_added_max == 5


@each_file
def test_an_indentation_in_an_internal_seat_means_a_new_assembly_and_never_lapping(file: Path) -> None:
    """Common practice, no source: internal seats are looked at 8 to 10 times enlarged and never lapped."""
    seats = [
        item
        for item in _sheet(file).characteristics
        if isinstance(item, VisualCharacteristic) and "indentation" in item.by_key
    ]
    assert seats
    for seat in seats:
        assert seat.replace_only
        assert seat.consequence is Disposition.REPLACE_ASSEMBLY
        assert (seat.magnification_min, seat.magnification_max) == (8, 10)
        assert seat.by_key["indentation"].outcome is FindingOutcome.REJECT
