"""The form of an instrument's entry in the register: what it is, what it reads, where it lies."""

from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.instruments import save_instrument
from service.actions.shop import Actor, Refused
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import plain
from service.metrology.units import UNIT_NAMES
from service.pages.choices import Option, options_of
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.instruments.places import history_of, place_of
from service.pages.instruments.typed_lists import typed_pins
from service.pages.refused_form import seen_again, status_of_form
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.typed_forms import Typed, TypedForm
from service.records.instrument_reads import InstrumentHistory
from service.workshop.vocabulary import InstrumentKind

router = APIRouter(prefix="/instruments")


@dataclass(frozen=True)
class RegisterEntryPage:
    """The form of one instrument; `seen` is None for a new one, whose code is still to be given."""

    page: Frame
    heading: str
    action: str
    back: str
    form_key: str
    seen: int | None
    form: FormState
    kinds: tuple[Option, ...]
    units: tuple[Option, ...]


@router.get("/new")
def show_new(request: Request, actor: Actor = Manager) -> Response:
    """An empty form."""
    return _page(request, actor, None, FormState(), new_form_key())


@router.post("")
def add(request: Request, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Add an instrument."""
    return _save(request, actor, None, typed)


@router.get("/{code:path}/entry")
def show(request: Request, code: str, actor: Actor = Manager) -> Response:
    """The instrument's entry to correct."""
    found = history_of(shop_of(request), code)
    row = found.row
    values: dict[str, str | list[str]] = {
        "kind": row.kind,
        "description": row.description,
        "unit": row.unit,
        "lower": row.lower or "",
        "upper": row.upper or "",
        "resolution": row.resolution or "",
        "repeatability": row.repeatability or "",
        "repeatability_readings": "" if row.repeatability_readings is None else str(row.repeatability_readings),
        "location": row.location,
        "pins": "\n".join(plain(pin) for pin in found.pins),
    }
    return _page(request, actor, found, FormState(values), new_form_key())


@router.post("/{code:path}/entry")
def change(request: Request, code: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Correct the entry."""
    return _save(request, actor, history_of(shop_of(request), code), typed)


def _save(request: Request, actor: Actor, found: InstrumentHistory | None, typed: Typed) -> Response:
    try:
        unit = typed.text("unit")
        if unit not in UNIT_NAMES:
            raise Refused("choice", "Choose the unit that it reads.", "unit")
        code = save_instrument(
            shop_of(request),
            actor,
            code=found.row.code if found else typed.text("code"),
            kind=typed.choice("kind", InstrumentKind, "Kind"),
            description=typed.text("description"),
            unit=unit,
            lower=_or_none(typed, "lower", unit),
            upper=_or_none(typed, "upper", unit),
            resolution=_or_none(typed, "resolution", unit),
            repeatability=_or_none(typed, "repeatability", unit),
            repeatability_readings=typed.whole_or_none("repeatability_readings", "Readings"),
            location=typed.text("location"),
            pins=typed_pins(typed.text("pins")),
            version=typed.version if found else None,
        )
    except DomainError as error:
        status = status_of_form(error)
        seen = seen_again(typed, error, found.row.version) if found else None
        return _page(request, actor, found, typed.shown(error), typed.text("form_key"), status, seen)
    return see_other(place_of(code), request)


def _or_none(typed: Typed, name: str, unit: str) -> Decimal | None:
    return typed.quantity(name, unit) if typed.text(name) else None


def _page(
    request: Request,
    actor: Actor,
    found: InstrumentHistory | None,
    form: FormState,
    form_key: str,
    status: int = 200,
    seen: int | None = None,
) -> Response:
    renderer = renderer_of(request)
    heading = f"Register entry of {found.row.code}" if found else "Add an instrument"
    place = place_of(found.row.code) if found else "/instruments"
    context = RegisterEntryPage(
        page=renderer.frame(heading, actor, "/instruments"),
        heading=heading,
        action=f"{place}/entry" if found else place,
        back=place,
        form_key=form_key,
        seen=(seen if seen is not None else found.row.version) if found else None,
        form=form,
        kinds=options_of(InstrumentKind),
        units=tuple(Option(name, name) for name in UNIT_NAMES),
    )
    return renderer.page("instruments/register_entry.html", context, status)
