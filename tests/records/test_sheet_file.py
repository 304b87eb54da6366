"""A limit sheet as a file: read back as written, and each fault named by its place."""

import json
from collections.abc import Callable
from typing import Any

import jsonschema
import pytest

from service.records.sheet_file import SheetFileFault, sheet_from_json, sheet_schema, sheet_to_json
from tests.round_sheet import ROUND_SHEET
from tests.small_sheet import SMALL_SHEET

Spoil = Callable[[dict[str, Any]], object]
FIVE_MEGABYTES = 5_000_000


def raw() -> dict[str, Any]:
    return json.loads(sheet_to_json(SMALL_SHEET))  # type: ignore[no-any-return]


def fault(text: str | bytes) -> SheetFileFault:
    with pytest.raises(SheetFileFault) as refusal:
        sheet_from_json(text)
    return refusal.value


def test_a_sheet_comes_back_as_it_was_written() -> None:
    text = sheet_to_json(SMALL_SHEET)
    assert sheet_from_json(text) == SMALL_SHEET
    assert sheet_from_json(text.encode()) == SMALL_SHEET
    assert sheet_to_json(sheet_from_json(text)) == text


def test_a_roundness_is_written_and_read_as_its_schema_says() -> None:
    text = sheet_to_json(ROUND_SHEET)
    assert sheet_from_json(text) == ROUND_SHEET
    jsonschema.validate(json.loads(text), sheet_schema(), cls=jsonschema.Draft202012Validator)
    short = json.loads(text)
    del short["characteristics"][-1]["reference"], short["characteristics"][-1]["cutoff_upr"]
    assert sheet_from_json(json.dumps(short)) == ROUND_SHEET, "the minimum zone without a filter is what a sheet means"


def test_the_file_follows_the_published_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(sheet_schema())
    jsonschema.validate(raw(), sheet_schema(), cls=jsonschema.Draft202012Validator)


SPOILT: list[tuple[str, str, Spoil]] = [
    ("format", "format", lambda file: file.pop("format")),
    ("format", "format", lambda file: file.update(format="other/9")),
    ("kind", "characteristics.0.kind", lambda file: file["characteristics"][0].update(kind="smell")),
    ("kind", "characteristics.0.kind", lambda file: file["characteristics"][0].pop("kind")),
    ("kind", "test_plan.steps.0.kind", lambda file: file["test_plan"]["steps"][0].update(kind="shake")),
    ("kind", "characteristics.0.kind", lambda file: file.update(characteristics=["crack"])),
    ("field", "title", lambda file: file.pop("title")),
    ("field", "parts.0.name", lambda file: file["parts"][0].pop("name")),
    ("field", "parts", lambda file: file.update(parts="many")),
    ("field", "test_plan", lambda file: file.update(test_plan=None)),
    ("field", "test_plan.opening_set_bar", lambda file: file["test_plan"].update(opening_set_bar="high")),
    ("field", "discs_added_max", lambda file: file.update(discs_added_max="five")),
    ("field", "torques.0.lower", lambda file: file["torques"][0].update(lower="NaN")),
    ("unknown-field", "author", lambda file: file.update(author="nobody")),
    ("unknown-field", "parts.1.colour", lambda file: file["parts"][1].update(colour="red")),
    ("unknown-field", "torques.0.x", lambda file: file["torques"][0].update(x=1)),
]  # fmt: skip


@pytest.mark.parametrize(("code", "place", "spoil"), SPOILT, ids=lambda one: one if isinstance(one, str) else "")
def test_each_fault_of_a_file_is_named_by_its_place(code: str, place: str, spoil: Spoil) -> None:
    file = raw()
    spoil(file)
    error = fault(json.dumps(file))
    assert (error.code, error.field) == (code, place)
    assert error.sentence


def test_a_field_missing_in_a_characteristic_is_named() -> None:
    file = raw()
    file["characteristics"][1].pop("unit")
    assert fault(json.dumps(file)).field == "characteristics.1.unit"


@pytest.mark.parametrize(
    "text",
    [
        "", "not json", "[1, 2", "null", "[]", "3", "\x00", b"\xff\xfe\x00", "NaN",
        pytest.param("x" * FIVE_MEGABYTES, id="5 MB of letters"),
        pytest.param("[" * FIVE_MEGABYTES, id="5 MB of brackets"),
        pytest.param(b"\x80" * FIVE_MEGABYTES, id="5 MB of bytes"),
        pytest.param('{"a":' * 100_000, id="deeply nested"),
    ],
)  # fmt: skip
def test_what_is_no_sheet_at_all_is_refused_in_one_sentence(text: str | bytes) -> None:
    error = fault(text)
    assert error.code in {"no-json", "format"}
    assert len(error.sentence) < 300
