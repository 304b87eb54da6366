"""The form of what a sheet asks of spray holes beyond go and reject pin: nominal size, class, spread, flow area."""

from decimal import Decimal
from typing import Any

from service.actions.shop import Refused
from service.metrology.designations import tolerance_class
from service.metrology.limits_and_fits import limits_of_size
from service.pages.limit_sheets.forms.fields import Values, number, quantity_or_none
from service.pages.typed_forms import Typed
from service.workshop.limit_sheet import PinCharacteristic


def hole_limit_values(item: PinCharacteristic) -> Values:
    """The limits as their form shows them."""
    return {
        "nominal": number(item.nominal),
        "designation": item.designation or "",
        "wear_allowance": number(item.wear_allowance),
        "spread_limit": number(item.spread_limit),
        "area_least": number(item.area_least),
        "area_most": number(item.area_most),
    }


def read_hole_limits(typed: Typed) -> dict[str, Any]:
    """What was typed, each of them may be left out. A class that ISO 286-1 lacks is refused beside its field."""
    return {
        "nominal": quantity_or_none(typed, "nominal", "mm"),
        "designation": _class(typed.text("designation")),
        "wear_allowance": quantity_or_none(typed, "wear_allowance", "mm"),
        "spread_limit": quantity_or_none(typed, "spread_limit", "mm"),
        "area_least": _per_cent(typed, "area_least"),
        "area_most": _per_cent(typed, "area_most"),
    }


def _class(text: str) -> str | None:
    if not text:
        return None
    named = tolerance_class(text)
    limits_of_size(named)
    return str(named)


def _per_cent(typed: Typed, name: str) -> Decimal | None:
    """A bare number, with or without its sign: no unit of length may slip in."""
    text = typed.text(name)
    if any(sign.isalpha() for sign in text):
        raise Refused("per-cent", "Enter per cent of the nominal flow area as a bare number, such as 95.", name)
    bare = Typed({name: (text.removesuffix("%").strip(),)}, {})
    return quantity_or_none(bare, name, "mm")
