"""A limit sheet as one JSON file: read with every fault named by its place, written in a fixed order."""

import json
from decimal import Decimal
from functools import cache, lru_cache
from typing import Any, get_args

from pydantic import TypeAdapter, ValidationError

from service.metrology.errors import DomainError
from service.workshop.limit_sheet import AnyCharacteristic, LimitSheet
from service.workshop.test_plan import AnyStep

FORMAT = "spindlebook-limit-sheet/1"


class SheetFileFault(DomainError):
    """A file that is no limit sheet; `field` is the place in the file."""


@cache
def _sheets() -> TypeAdapter[LimitSheet]:
    return TypeAdapter(LimitSheet)


def sheet_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of the file, as published in shared/schemas/."""
    schema = _sheets().json_schema(mode="validation")
    schema["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    schema["title"] = "Spindlebook limit sheet"
    schema["properties"] = {"format": {"const": FORMAT}, **schema["properties"]}
    schema["required"] = ["format", *schema["required"]]
    for kinds in (AnyCharacteristic, AnyStep):
        for kind in get_args(kinds):
            schema["$defs"][kind.__name__]["required"].append("kind")
    for part in (schema, *schema["$defs"].values()):
        if part.get("type") == "object":
            part["additionalProperties"] = False
            for field in part["properties"].values():
                _say_what_a_decimal_is(field)
    return schema


def _say_what_a_decimal_is(field: dict[str, Any]) -> None:
    """Pydantic lets a decimal be any text in the schema; here it is digits with a point."""
    alternatives = field.get("anyOf", []) + field.get("items", {}).get("anyOf", [])
    if {"type": "number"} in alternatives:
        for alternative in alternatives:
            if alternative == {"type": "string"}:
                alternative["pattern"] = r"^-?[0-9]+(\.[0-9]+)?$"


def sheet_to_json(sheet: LimitSheet) -> str:
    """The file's text, for people to read as well."""
    return json.dumps(
        {"format": FORMAT, **_sheets().dump_python(sheet, mode="json")}, indent=2, ensure_ascii=False, sort_keys=False
    )


@lru_cache(maxsize=64)
def stored_sheet(text: str) -> LimitSheet:
    """A sheet stored earlier; revisions in use are few and never change, so parsed ones are kept."""
    return sheet_from_json(text)


def sheet_from_json(text: str | bytes) -> LimitSheet:
    """The limit sheet in a file.

    Raises SheetFileFault: no JSON, another format, a field missing, of the wrong kind, or unknown.
    """
    try:
        raw = json.loads(text, parse_float=Decimal)  # exact: no binary float on the way
    except RecursionError as error:
        raise SheetFileFault("no-json", "The file is nested too deeply for a limit sheet.", "file") from error
    except (ValueError, UnicodeDecodeError) as error:
        raise SheetFileFault("no-json", f"The file is not JSON: {error}.", "file") from error
    if not isinstance(raw, dict) or raw.pop("format", None) != FORMAT:
        raise SheetFileFault("format", f"The file must say “format”: “{FORMAT}”.", "format")
    _check_kinds(raw.get("characteristics"), "characteristics", AnyCharacteristic)
    if isinstance(raw.get("test_plan"), dict):
        _check_kinds(raw["test_plan"].get("steps"), "test_plan.steps", AnyStep)
    try:
        sheet = _sheets().validate_python(raw)
    except ValidationError as error:
        first = error.errors()[0]
        place = ".".join(str(step) for step in first["loc"] if not str(step)[:1].isupper())
        raise SheetFileFault("field", f"{place}: {first['msg']}.", place) from error
    _refuse_unknown(raw, _sheets().dump_python(sheet, mode="json"), "")
    return sheet


def _check_kinds(items: Any, name: str, union: Any) -> None:
    """A wrong kind would otherwise be reported once for every kind that it is not."""
    kinds = [kind.__dataclass_fields__["kind"].default for kind in get_args(union)]
    for number, item in enumerate(items if isinstance(items, list) else []):
        if not isinstance(item, dict) or item.get("kind") not in kinds:
            place = f"{name}.{number}.kind"
            raise SheetFileFault("kind", f"{place}: must be one of {', '.join(kinds)}.", place)


def _refuse_unknown(given: Any, known: Any, place: str) -> None:
    if isinstance(given, dict) and isinstance(known, dict):
        for key, value in given.items():
            here = f"{place}.{key}".lstrip(".")
            if key not in known:
                raise SheetFileFault("unknown-field", f"{here}: the format has no such field.", here)
            _refuse_unknown(value, known[key], here)
    elif isinstance(given, list) and isinstance(known, list):
        for number, (one, other) in enumerate(zip(given, known, strict=True)):
            _refuse_unknown(one, other, f"{place}.{number}")
