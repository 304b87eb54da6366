"""Go and no-go gauge pins for a class of holes: the limits, the go pin new, the sizes to buy."""

from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor, Refused
from service.metrology.errors import DomainError
from service.pages.desk_calculators.asking import asked, frame_of, kept_address, status_of_answer
from service.pages.guards import AtBench
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.pins_for_class import PinsForClass, pins_for_class
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed, errors_of

router = APIRouter()
_FIELDS = {"wear_allowance": "wear"}
_UM_PER_MM = 1000


@dataclass(frozen=True)
class PinsPage:
    """What was typed and the pins for it."""

    page: Frame
    form: FormState
    found: PinsForClass | None
    address: str


@router.get("/calculators/pins")
def show_pins(request: Request, actor: Actor = AtBench) -> Response:
    """Pins of a class by ISO 286-1, with wear and uncertainty."""
    typed, found, error = asked(request), None, None
    try:
        found = _found(typed) if typed.fields else None
    except DomainError as refusal:
        error = refusal
    errors = {_FIELDS.get(name, name): sentence for name, sentence in errors_of(error).items()}
    form = FormState(typed.shown().values, errors)
    page = PinsPage(frame_of(request, "Gauge pins", actor), form, found, kept_address(request, error))
    return whole_or_part(request, "desk_calculators/pins", page, status_of_answer(error))


def _found(typed: Typed) -> PinsForClass:
    if not typed.text("designation"):
        raise Refused("designation-missing", "Type the class of the hole, such as 0.85 H9.", "designation")
    increment = _mm(typed, "increment") if typed.text("increment") else None
    return pins_for_class(typed.text("designation"), _mm(typed, "wear"), _mm(typed, "uncertainty"), increment)


def _mm(typed: Typed, name: str) -> Decimal:
    """A length typed in µm or with its unit; nothing typed is zero."""
    return typed.quantity(name, "µm") / _UM_PER_MM if typed.text(name) else Decimal(0)
