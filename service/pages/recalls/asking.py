"""What is asked in the address of a recall: every export and letter carries the same question as its page."""

from datetime import date
from decimal import Decimal
from urllib.parse import quote, urlencode

from fastapi import Request

from service.actions.recalling import RecallAsked
from service.actions.shop import Refused
from service.metrology.units import parse_quantity
from service.pages.instruments.typed_lists import typed_points
from service.pages.typed_forms import Typed

FIELDS = ("calibration", "since", "error", "points", "pins")


def asked_in_address(request: Request) -> Typed:
    """The fields of the address as they were typed."""
    fields: dict[str, tuple[str, ...]] = {}
    for name, value in request.query_params.multi_items():
        fields[name] = (*fields.get(name, ()), value.replace("\r\n", "\n").replace("\x00", ""))
    return Typed(fields, {})


def recall_asked(typed: Typed, unit: str) -> RecallAsked:
    """The question. Without an error and without points those of the certificate are proposed. Raises DomainError.

    Pins that are missing from the address are proposed as well; none typed means that none has changed.
    """
    return RecallAsked(
        calibration_id=_calibration(typed),
        since=_since(typed),
        error=parse_quantity(typed.text("error"), unit, "error") if typed.text("error") else None,
        points=typed_points(typed.text("points"), unit, pin_set=False, field="points") or None,
        pins=(_pins(typed) if "pins" in typed.fields else None),
    )


def address_of(code: str, typed: Typed, file: str = "") -> str:
    """The address of the recall, or of a file of it, with the same question."""
    given = [(name, typed.fields[name][0]) for name in FIELDS if typed.fields.get(name)]
    query = f"?{urlencode(given)}" if given else ""
    return f"/recalls/instruments/{quote(code, safe='')}{file}{query}"


def _calibration(typed: Typed) -> int | None:
    text = typed.text("calibration")
    if not text:
        return None
    if not (text.isascii() and text.isdigit() and len(text) < 10):
        raise Refused("calibration", "Choose one of this instrument's calibrations.", "calibration")
    return int(text)


def _since(typed: Typed) -> date | None:
    return typed.day("since", "Readings since") if typed.text("since") else None


def _pins(typed: Typed) -> dict[Decimal, Decimal]:
    points = typed_points(typed.text("pins"), "mm", pin_set=True, field="pins")
    return {point.nominal: point.diameter for point in points}
