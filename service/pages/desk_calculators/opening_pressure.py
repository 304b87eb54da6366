"""Opening and closing pressure of a spring, and what one millimetre of disc changes."""

from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.hydraulics.opening_geometry import needle_geometry, opening_from_spring
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import plain
from service.pages.desk_calculators.asking import asked, frame_of, kept_address, status_of_answer
from service.pages.guards import AtBench
from service.pages.overhauls.small_forms import Fact
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed, errors_of

router = APIRouter()


@dataclass(frozen=True)
class OpeningAnswer:
    """The pressures of one spring; `href` goes on to the discs with its slope."""

    heading: str
    facts: tuple[Fact, ...]
    href: str


@dataclass(frozen=True)
class OpeningPage:
    """What was typed and what it gives."""

    page: Frame
    form: FormState
    found: OpeningAnswer | None
    address: str


@router.get("/calculators/opening-pressure")
def show_opening_pressure(request: Request, actor: Actor = AtBench) -> Response:
    """Δp = k·Δt / A, with A the ring between guide and seat."""
    typed, found, error = asked(request), None, None
    try:
        found = _found(typed) if typed.fields else None
    except DomainError as refusal:
        error = refusal
    form = FormState(typed.shown().values, errors_of(error))
    page = OpeningPage(frame_of(request, "Opening pressure", actor), form, found, kept_address(request, error))
    return whole_or_part(request, "desk_calculators/opening_pressure", page, status_of_answer(error))


def _found(typed: Typed) -> OpeningAnswer:
    geometry = needle_geometry(
        typed.quantity("rate", "N/mm"), typed.quantity("guide", "mm"), typed.quantity("seat", "mm")
    )
    preload = typed.quantity("preload", "mm")
    found = opening_from_spring(geometry, preload)
    slope = _hundredths(found.bar_per_mm)
    facts = (
        Fact("Closing pressure", f"{_hundredths(found.closing_bar)} bar"),
        Fact("One millimetre of disc", f"{slope} bar"),
        Fact("A disc of 0.1 mm", f"{_hundredths(found.bar_per_mm / 10)} bar"),
        Fact("Force of the spring", f"{_hundredths(geometry.rate_n_per_mm * preload)} N"),
        Fact("Lifting area", f"{_hundredths(geometry.lifting_area_mm2)} mm²"),
    )
    address = f"/calculators/discs?now={_hundredths(found.opening_bar)}&bar_per_mm={slope}"
    return OpeningAnswer(f"Opens at {_hundredths(found.opening_bar)} bar", facts, address)


def _hundredths(value: Decimal) -> str:
    return plain(value.quantize(Decimal("0.01")))
