"""The gauge pins that the class of the spray holes needs, as soon as its designation is typed."""

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.metrology.units import parse_quantity
from service.pages.guards import Manager, renderer_of
from service.pages.pins_for_class import PinsForClass, pins_for_class

router = APIRouter()
_UM_PER_MM = 1000


@dataclass(frozen=True)
class ClassPins:
    """The pins; None with a sentence that says why there are none."""

    found: PinsForClass | None
    sentence: str


@dataclass(frozen=True)
class ClassPinsPart:
    """The part of the form that shows them; None while no class is typed."""

    class_pins: ClassPins | None


def typed_class_pins(typed: Callable[[str], str]) -> ClassPins | None:
    """The pins for what stands in the form's fields; lengths there are in µm, but the wear allowance in mm."""
    designation = typed("designation").strip()
    if not designation:
        return None
    try:
        wear, doubt = _length(typed("wear_allowance"), "mm"), _length(typed("pins_uncertainty"), "µm") / _UM_PER_MM
        increment = _length(typed("pins_increment"), "µm") / _UM_PER_MM if typed("pins_increment").strip() else None
        return ClassPins(pins_for_class(designation, wear, doubt, increment), "")
    except DomainError as error:
        return ClassPins(None, error.sentence)


@router.get("/limit-sheets/class-pins")
def show_class_pins(request: Request, actor: Actor = Manager) -> Response:
    """The part that htmx swaps while the class, the wear allowance or the steps are typed."""
    typed = request.query_params
    part = ClassPinsPart(typed_class_pins(lambda name: typed.get(name, "")[:40]))
    return renderer_of(request).page("limit_sheets/_class_pins.html", part)


def _length(text: str, unit: str) -> Decimal:
    """Nothing typed is zero."""
    return parse_quantity(text.strip(), unit, "") if text.strip() else Decimal(0)
