"""The register of instruments: what measures, how well, and until when its calibration holds."""

from dataclasses import dataclass, replace
from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.instruments import save_instrument
from service.actions.shop import Actor, NotFound, Refused, Shop
from service.metrology.errors import DomainError
from service.metrology.units import UNIT_NAMES
from service.pages.choices import Option, options_of
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.refused_form import seen_again, status_of_form
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.typed_forms import Typed, TypedForm
from service.records.register_reads import InstrumentLine, instrument_line, instruments
from service.records.registers import instrument_by_code
from service.workshop.calibration import CalibrationState, calibration_state
from service.workshop.vocabulary import InstrumentKind

router = APIRouter(prefix="/instruments")


@dataclass(frozen=True)
class InstrumentRow:
    """An instrument as the register lists it."""

    href: str
    line: InstrumentLine
    due: str
    state: CalibrationState


@dataclass(frozen=True)
class StateCount:
    """How many instruments are in one state."""

    label: str
    count: int


@dataclass(frozen=True)
class InstrumentsPage:
    """The register."""

    page: Frame
    rows: tuple[InstrumentRow, ...]
    counts: tuple[StateCount, ...]


@dataclass(frozen=True)
class InstrumentPage:
    """The form of one instrument; `seen` is None for a new one, whose code is still to be given."""

    page: Frame
    heading: str
    action: str
    form_key: str
    seen: int | None
    form: FormState
    kinds: tuple[Option, ...]
    units: tuple[Option, ...]


@router.get("")
def show_register(request: Request, actor: Actor = Manager) -> Response:
    """Every instrument with its state today."""
    shop, renderer = shop_of(request), renderer_of(request)
    today = shop.now().date()
    with shop.store.reading() as session:
        rows = tuple(
            InstrumentRow(
                href=f"/instruments/{quote(line.code, safe='')}",
                line=line,
                due=f"{line.due.day} {line.due:%b %Y}",
                state=calibration_state(line.due, today, active=line.active),
            )
            for line in instruments(session)
        )
    counts = tuple(StateCount(state.label, sum(row.state is state for row in rows)) for state in CalibrationState)
    frame = renderer.frame("Instruments", actor, "/instruments")
    return renderer.page("instruments/instruments.html", InstrumentsPage(frame, rows, counts))


@router.get("/new")
def show_new(request: Request, actor: Actor = Manager) -> Response:
    """An empty form."""
    return _page(request, actor, None, FormState({"active": "yes"}), new_form_key())


@router.post("")
def add(request: Request, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Add an instrument."""
    return _save(request, actor, None, typed)


@router.get("/{code:path}")
def show(request: Request, code: str, actor: Actor = Manager) -> Response:
    """The instrument's form."""
    line = _line(shop_of(request), code)
    values = {
        "kind": line.kind.value,
        "description": line.description,
        "unit": line.unit,
        "expanded_uncertainty": line.expanded_uncertainty,
        "calibration": line.calibration,
        "due": line.due.isoformat(),
        "active": "yes" if line.active else "",
    }
    return _page(request, actor, line, FormState(values), new_form_key())


@router.post("/{code:path}")
def change(request: Request, code: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Correct the instrument."""
    return _save(request, actor, _line(shop_of(request), code), typed)


def _save(request: Request, actor: Actor, line: InstrumentLine | None, typed: Typed) -> Response:
    try:
        unit = typed.text("unit")
        if unit not in UNIT_NAMES:
            raise Refused("choice", "Choose the unit that it reads.", "unit")
        save_instrument(
            shop_of(request),
            actor,
            code=line.code if line else typed.text("code"),
            kind=typed.choice("kind", InstrumentKind, "Kind"),
            description=typed.text("description"),
            unit=unit,
            expanded_uncertainty=typed.quantity("expanded_uncertainty", unit),
            calibration=typed.text("calibration"),
            due=typed.day("due", "Calibration due"),
            active=typed.ticked("active"),
            version=typed.version if line else None,
        )
    except DomainError as error:
        status = status_of_form(error)
        if line:
            line = replace(line, version=seen_again(typed, error, line.version))
        return _page(request, actor, line, typed.shown(error), typed.text("form_key"), status)
    return see_other("/instruments", request)


def _line(shop: Shop, code: str) -> InstrumentLine:
    with shop.store.reading() as session:
        row = instrument_by_code(session, code)
    if row is None:
        raise NotFound("no-instrument", "There is no such instrument.")
    return instrument_line(row)


def _page(
    request: Request, actor: Actor, line: InstrumentLine | None, form: FormState, form_key: str, status: int = 200
) -> Response:
    renderer = renderer_of(request)
    heading = line.code if line else "Add an instrument"
    context = InstrumentPage(
        page=renderer.frame(heading, actor, "/instruments"),
        heading=heading,
        action=f"/instruments/{quote(line.code, safe='')}" if line else "/instruments",
        form_key=form_key,
        seen=line.version if line else None,
        form=form,
        kinds=options_of(InstrumentKind),
        units=tuple(Option(name, name) for name in UNIT_NAMES),
    )
    return renderer.page("instruments/instrument.html", context, status)
