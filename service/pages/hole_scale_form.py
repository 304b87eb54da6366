"""The form that asks which hole is measured and at what scale, as typed and read."""

import re
from decimal import Decimal

from fastapi import Request

from service.actions.shop import Refused
from service.metrology.hole_image.given_scale import BarScale, GivenScale, PitchScale, Place
from service.metrology.typed_numbers import parse_decimal, plain
from service.pages.choices import Option
from service.pages.typed_forms import Typed

SCALES = (
    Option("pitch", "Calibrated pixel pitch", "Of this lens at this distance, from its calibration."),
    Option("bar", "Scale bar in the picture", "A graticule or a gauge of known length beside the hole."),
)
FIELDS = (
    *("hole", "scale_by", "um_per_pixel", "expanded_uncertainty"),
    *("length_um", "length_uncertainty_um", "start_px", "end_px"),
)


def typed_query(request: Request) -> Typed:
    """What was typed in a form that only asks."""
    query = request.query_params
    return Typed({name: tuple(query.getlist(name)) for name in query if name in FIELDS}, {})


def typed_scale(typed: Typed) -> GivenScale:
    """The scale as typed. Raises Refused or MetrologyError at the field."""
    match typed.text("scale_by"):
        case "pitch":
            return PitchScale(
                um_per_pixel=parse_decimal(typed.text("um_per_pixel"), "um_per_pixel"),
                expanded_uncertainty=parse_decimal(typed.text("expanded_uncertainty"), "expanded_uncertainty"),
            )
        case "bar":
            return BarScale(
                length_um=typed.quantity("length_um", "µm"),
                length_uncertainty_um=typed.quantity("length_uncertainty_um", "µm"),
                start_px=_place(typed, "start_px"),
                end_px=_place(typed, "end_px"),
            )
        case _:
            raise Refused("scale", "Say how the scale is known.", "scale_by")


def as_typed(scale: GivenScale) -> dict[str, str | list[str]]:
    """The scale of an earlier evaluation, filled into a fresh form; the ends of a bar lie elsewhere now."""
    match scale:
        case PitchScale():
            return {
                "scale_by": "pitch",
                "um_per_pixel": plain(scale.um_per_pixel),
                "expanded_uncertainty": plain(scale.expanded_uncertainty),
            }
        case BarScale():
            return {
                "scale_by": "bar",
                "length_um": plain(scale.length_um),
                "length_uncertainty_um": plain(scale.length_uncertainty_um),
            }


def _place(typed: Typed, name: str) -> Place:
    pieces = [piece for piece in re.split(r"[;\s]+", typed.text(name)) if piece]
    if len(pieces) != 2:
        raise Refused("place", "Give x and y in pixels from the left and from the top, such as 120; 340.", name)
    x, y = (parse_decimal(piece, name) for piece in pieces)
    if not Decimal(0) <= x < Decimal(100_000) or not Decimal(0) <= y < Decimal(100_000):
        raise Refused("place", "This place lies outside the photograph.", name)
    return x, y
