"""What is asked of a trace, from texts as a form, a command line or a query has them."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.trace.against_plan import TracePlan
from service.hydraulics.trace.analysis import Rig
from service.hydraulics.trace.layout import DECIMAL_SIGNS, DELIMITERS
from service.hydraulics.trace.recognition import Given
from service.metrology.typed_numbers import parse_decimal
from service.metrology.units import parse_quantity

FIELDS = (
    "delimiter", "decimal", "time_column", "rate_hz", "pressure_column", "pressure_unit", "temperature_column",
    "volume_cm3", "bulk_modulus_gpa", "bar_per_kelvin",
    "lower_bar", "upper_bar", "spread_max_bar", "least_openings", "decay_max_bar_per_min", "gauge_uncertainty_bar",
)  # fmt: skip
"""Every field that can be asked, each optional. Pressures are in bar unless another unit is typed with them."""

_DELIMITERS = {name.split(",")[0].replace("upright stroke", "stroke"): sign for sign, name in DELIMITERS.items()}
_DECIMALS = {name: sign for sign, name in DECIMAL_SIGNS.items()}
DELIMITER_NAMES, DECIMAL_NAMES = tuple(_DELIMITERS), tuple(_DECIMALS)
"""How separators and decimal signs are called where they are asked: a sign itself is taken as well."""


@dataclass(frozen=True, slots=True)
class TraceAsked:
    """How the file is to be read, what the pressure stands in, and what the plan asks."""

    given: Given
    rig: Rig
    plan: TracePlan


def asked_of(texts: Mapping[str, str]) -> TraceAsked:
    """Read the `FIELDS` that are not empty. Raises DomainError that names the field."""
    told = {name: text for name, text in texts.items() if name in FIELDS and text.strip()}
    rate = _number(told, "rate_hz")
    given = Given(
        delimiter=_choice(told, "delimiter", _DELIMITERS),
        decimal=_choice(told, "decimal", _DECIMALS),
        time_column=told.get("time_column"),
        rate_hz=rate,
        pressure_column=told.get("pressure_column"),
        pressure_unit=told.get("pressure_unit"),
        temperature_column=told.get("temperature_column"),
    )
    rig = Rig(_number(told, "volume_cm3"), _number(told, "bulk_modulus_gpa"), _number(told, "bar_per_kelvin"))
    return TraceAsked(given, rig, _plan(told))


def _plan(told: Mapping[str, str]) -> TracePlan:
    usual = TracePlan()
    decay, least = told.get("decay_max_bar_per_min"), told.get("least_openings", "").strip()
    if least and not (least.isascii() and least.isdigit() and len(least) < 4):
        raise HydraulicsError(
            "openings-range", "The plan asks for 1 to 100 openings: enter a whole number.", "least_openings"
        )
    return TracePlan(
        lower_bar=_bar(told, "lower_bar"),
        upper_bar=_bar(told, "upper_bar"),
        spread_max_bar=_bar(told, "spread_max_bar"),
        least_openings=int(least) if least else usual.least_openings,
        decay_max_bar_per_min=None if decay is None else parse_decimal(decay, "decay_max_bar_per_min"),
        expanded_uncertainty_bar=_bar(told, "gauge_uncertainty_bar") or Decimal(0),
    )


def _bar(told: Mapping[str, str], field: str) -> Decimal | None:
    return parse_quantity(told[field], "bar", field) if field in told else None


def _number(told: Mapping[str, str], field: str) -> float | None:
    return float(parse_decimal(told[field], field)) if field in told else None


def _choice(told: Mapping[str, str], field: str, names: Mapping[str, str]) -> str | None:
    if field not in told:
        return None
    text = told[field] if told[field] in names.values() else names.get(told[field].strip().lower())
    if text is None:
        raise HydraulicsError(
            "trace-no-such-sign", f"“{told[field][:20]}” is not one of {', '.join(names)}: choose one of them.", field
        )
    return text
