"""The form of a size: its limits as an ISO 286 class, as deviations from a nominal size, or as plain limits."""

from decimal import Decimal
from typing import Any

from service.actions.shop import Refused
from service.metrology.designations import tolerance_class
from service.metrology.limits_and_fits import limits_of_size
from service.pages.limit_sheets.forms.fields import Values, members, number, quantity_or_none
from service.pages.typed_forms import Typed
from service.workshop.limit_sheet import SizeCharacteristic, SizeLimits
from service.workshop.sheet_checks import UNITS
from service.workshop.vocabulary import Disposition, InstrumentKind


def size_values(item: SizeCharacteristic) -> Values:
    """The size as its form shows it."""
    limits = item.limits
    way = "class" if limits.designation is not None else "deviations" if limits.nominal is not None else "limits"
    return {
        "unit": item.unit,
        "limits_as": way,
        "designation": limits.designation or "",
        "nominal": number(limits.nominal),
        "lower_deviation_um": number(limits.lower_deviation_um),
        "upper_deviation_um": number(limits.upper_deviation_um),
        "lower": number(limits.lower),
        "upper": number(limits.upper),
        "readings": str(item.readings),
        "repeats": "yes" if item.repeats else "",
        "instruments": [kind.value for kind in item.instruments],
        "rework_until": number(item.rework_until),
        "beyond_rework": item.beyond_rework.value,
    }


def read_size(typed: Typed) -> dict[str, Any]:
    """What belongs to a size; the limits that were not chosen are left out. A class that ISO 286-1 lacks is refused."""
    unit = typed.text("unit")
    if unit not in UNITS:
        raise Refused("choice", "Choose the unit.", "unit")
    return {
        "unit": unit,
        "limits": _read_limits(typed, unit),
        "readings": typed.whole("readings", "Readings"),
        "repeats": typed.ticked("repeats"),
        "instruments": members(typed, "instruments", InstrumentKind),
        "rework_until": quantity_or_none(typed, "rework_until", unit),
        "beyond_rework": typed.choice("beyond_rework", Disposition, "Past the rework limit"),
    }


def _read_limits(typed: Typed, unit: str) -> SizeLimits:
    match typed.text("limits_as"):
        case "class":
            if unit != "mm":
                raise Refused("class-unit", "An ISO 286 class is for sizes in mm.", "unit")
            named = tolerance_class(typed.text("designation"))
            limits_of_size(named)
            return SizeLimits(designation=str(named))
        case "deviations":
            if unit != "mm":
                raise Refused("deviation-unit", "Deviations in µm are for sizes in mm: give plain limits.", "unit")
            lower, upper = _pair(typed, "lower_deviation_um", "upper_deviation_um", "µm")
            return SizeLimits(
                nominal=typed.quantity("nominal", "mm"), lower_deviation_um=lower, upper_deviation_um=upper
            )
        case "limits":
            lower, upper = _pair(typed, "lower", "upper", unit)
            return SizeLimits(lower=lower, upper=upper)
        case _:
            raise Refused("choice", "Choose how the limits are given.", "limits_as")


def _pair(typed: Typed, low: str, high: str, unit: str) -> tuple[Decimal | None, Decimal | None]:
    lower, upper = quantity_or_none(typed, low, unit), quantity_or_none(typed, high, unit)
    if lower is None and upper is None:
        raise Refused("no-limit", "Give at least one of the two.", low)
    if lower is not None and upper is not None and lower > upper:
        raise Refused("limits-crossed", "The lower one is above the upper one.", low)
    return lower, upper
