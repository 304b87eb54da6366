"""Characteristics: what all kinds share, and what each kind asks for."""

from typing import Any

from service.actions.shop import Refused
from service.pages.limit_sheets.forms.fields import (
    Values,
    key_of,
    members,
    number,
    quantity_or_none,
    tick,
    words,
)
from service.pages.limit_sheets.forms.rows import finding_values, read_findings
from service.pages.limit_sheets.forms.sizes import read_size, size_values
from service.pages.limit_sheets.forms.spray_holes import hole_limit_values, read_hole_limits
from service.pages.typed_forms import Typed
from service.workshop.cautions import CAUTIONS
from service.workshop.limit_sheet import (
    AnyCharacteristic,
    LimitSheet,
    OvalityCharacteristic,
    PinCharacteristic,
    RoundnessCharacteristic,
    SizeCharacteristic,
    VisualCharacteristic,
    YesNoCharacteristic,
)
from service.workshop.sheet_editing import Section
from service.workshop.vocabulary import Disposition, InstrumentKind, RoundnessReference

CONSEQUENCES = tuple(one for one in Disposition if one is not Disposition.KEEP)


def characteristic_values(item: AnyCharacteristic) -> Values:
    """The characteristic as its form shows it."""
    shared: Values = {
        "key": item.key,
        "part": item.part,
        "title": item.title,
        "how": item.how,
        "consequence": item.consequence.value,
        "replace_only": tick(item.replace_only),
        "recheck_after_rework": tick(item.recheck_after_rework),
        "cautions": list(item.cautions),
    }
    return {**shared, **_kind_values(item)}


def read_characteristic(typed: Typed, sheet: LimitSheet, kind: str, old_key: str | None) -> AnyCharacteristic:
    """The characteristic of that kind that was typed."""
    title = words(typed, "title", "Give the characteristic a title.")
    shared: dict[str, Any] = {
        "key": key_of(typed, sheet, Section.CHARACTERISTICS, title, old_key),
        "part": words(typed, "part", "Choose the part."),
        "title": title,
        "how": words(typed, "how", "Say in a sentence or two how it is examined."),
        "consequence": typed.choice("consequence", Disposition, "Consequence"),
        "replace_only": typed.ticked("replace_only"),
        "recheck_after_rework": typed.ticked("recheck_after_rework"),
        "cautions": tuple(key for key in CAUTIONS if key in typed.many("cautions")),
    }
    match kind:
        case "size":
            return SizeCharacteristic(**shared, **read_size(typed))
        case "gauge-pins":
            return PinCharacteristic(**shared, **_read_pins(typed))
        case "ovality":
            return OvalityCharacteristic(**shared, **_read_ovality(typed))
        case "roundness":
            return RoundnessCharacteristic(**shared, **_read_roundness(typed))
        case "visual":
            return VisualCharacteristic(**shared, **_read_visual(typed))
        case "yes-no":
            return YesNoCharacteristic(**shared, **_read_yes_no(typed))
        case _:
            raise Refused("kind", "There is no such kind of characteristic.", "")


def _kind_values(item: AnyCharacteristic) -> Values:
    match item:
        case SizeCharacteristic():
            return size_values(item)
        case PinCharacteristic():
            return {
                "holes": str(item.holes),
                "pins": "; ".join(number(pin) for pin in item.pins),
                "go_pin": number(item.go_pin),
                "reject_pin": number(item.reject_pin),
                "undersize_consequence": item.undersize_consequence.value,
                **hole_limit_values(item),
            }
        case OvalityCharacteristic():
            return {
                "sections": str(item.sections),
                "section_name": item.section_name,
                "directions": str(item.directions),
                "limit": number(item.limit),
                "instruments": [kind.value for kind in item.instruments],
            }
        case RoundnessCharacteristic():
            return {
                "limit": number(item.limit),
                "reference": item.reference.value,
                "cutoff_upr": "" if item.cutoff_upr is None else str(item.cutoff_upr),
                "instruments": [kind.value for kind in item.instruments],
            }
        case VisualCharacteristic():
            magnification: Values = {
                "magnification_min": number(item.magnification_min),
                "magnification_max": number(item.magnification_max),
            }
            return {**magnification, **finding_values(item.findings)}
        case YesNoCharacteristic():
            return {"question": item.question, "required": "yes" if item.required else "no"}


def _read_pins(typed: Typed) -> dict[str, Any]:
    return {
        "holes": typed.whole("holes", "Spray holes"),
        "pins": typed.quantities("pins", "mm"),
        "go_pin": typed.quantity("go_pin", "mm"),
        "reject_pin": typed.quantity("reject_pin", "mm"),
        "undersize_consequence": typed.choice("undersize_consequence", Disposition, "When the go pin does not enter"),
        **read_hole_limits(typed),
    }


def _read_ovality(typed: Typed) -> dict[str, Any]:
    return {
        "sections": typed.whole("sections", "Sections"),
        "section_name": words(typed, "section_name", "Say what a section is, such as hole or seat."),
        "directions": typed.whole("directions", "Directions"),
        "limit": typed.quantity("limit", "mm"),
        "instruments": members(typed, "instruments", InstrumentKind),
    }


def _read_roundness(typed: Typed) -> dict[str, Any]:
    return {
        "limit": typed.quantity("limit", "mm"),
        "reference": typed.choice("reference", RoundnessReference, "Reference circle"),
        "cutoff_upr": typed.whole_or_none("cutoff_upr", "Cut-off of the filter"),
        "instruments": members(typed, "instruments", InstrumentKind),
    }


def _read_visual(typed: Typed) -> dict[str, Any]:
    findings = read_findings(typed)
    if not findings:
        raise Refused("no-findings", "List the findings to choose from.", "finding-1-label")
    return {
        "findings": findings,
        "magnification_min": _times(typed, "magnification_min"),
        "magnification_max": _times(typed, "magnification_max"),
    }


def _times(typed: Typed, name: str) -> Any:
    """A magnification is a bare number: no unit of length may slip in."""
    if any(sign.isalpha() for sign in typed.text(name)):
        raise Refused("magnification", "The magnification is a bare number, such as 8.", name)
    return quantity_or_none(typed, name, "mm")


def _read_yes_no(typed: Typed) -> dict[str, Any]:
    answer = typed.text("required")
    if answer not in ("yes", "no"):
        raise Refused("choice", "Choose the answer that conforms.", "required")
    return {"question": words(typed, "question", "Ask the question."), "required": answer == "yes"}
