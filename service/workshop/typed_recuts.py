"""A seat and its cuts as somebody types them, for a forecast without any record."""

from dataclasses import dataclass

from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import parse_decimal
from service.workshop.recuts import Forecast, LimitSide, RemainingMetal, recuts_likely, remaining_metal

MOST_CUTS = 500


@dataclass(frozen=True, kw_only=True)
class TypedForecast:
    """The metal that is left, how many cuts were typed, and the forecast."""

    metal: RemainingMetal
    cuts: int
    forecast: Forecast


def forecast_of_typed(size: str, limit: str, side: str, expanded_uncertainty: str, cuts: str) -> TypedForecast:
    """The forecast for a size and its limit in mm, `side` upper or lower, with the depths of earlier cuts in mm.

    Cuts stand between commas, or between semicolons where a decimal comma is typed. Raises MetrologyError as
    `parse_decimal`, `remaining_metal` and `recuts_likely` do, and `side-unknown` or `cuts-too-many`.
    """
    if side not in set(LimitSide):
        raise MetrologyError("side-unknown", f"The side reads “{side[:20]}”: give upper or lower.", "side")
    metal = remaining_metal(
        parse_decimal(size, "size"),
        parse_decimal(limit, "limit"),
        LimitSide(side),
        parse_decimal(expanded_uncertainty, "expanded_uncertainty"),
    )
    parts = [part.strip() for part in cuts.split(";" if ";" in cuts else ",") if part.strip()]
    if len(parts) > MOST_CUTS:
        raise MetrologyError("cuts-too-many", f"At most {MOST_CUTS} cuts: give the newest.", "cuts")
    depths = [parse_decimal(part, "cuts") for part in parts]
    return TypedForecast(metal=metal, cuts=len(depths), forecast=recuts_likely(metal, depths))
