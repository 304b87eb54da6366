"""Adding and changing an engine of a vessel."""

from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.fleets import save_engine
from service.actions.shop import Actor, NotFound
from service.metrology.errors import DomainError
from service.pages.choices import Option
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.refused_form import chosen_id, seen_again, status_of_form
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.row_ids import RowId
from service.pages.typed_forms import Typed, TypedForm
from service.records.register_reads import EngineLine, VesselLine, engine_line, injector_types, vessel_line

router = APIRouter(prefix="/fleets")


@dataclass(frozen=True)
class EnginePage:
    """The form of one engine; `seen` is None for a new one."""

    page: Frame
    heading: str
    vessel: VesselLine
    action: str
    form_key: str
    seen: int | None
    form: FormState
    types: tuple[Option, ...]


@router.get("/vessels/{vessel_id}/engines/new")
def show_new(request: Request, vessel_id: RowId, actor: Actor = Manager) -> Response:
    """An empty form."""
    values = {"designation": "Main engine", "injectors_per_cylinder": "1"}
    return _page(request, actor, vessel_id, None, FormState(values), new_form_key())


@router.post("/vessels/{vessel_id}/engines")
def add(request: Request, vessel_id: RowId, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Add an engine."""
    return _save(request, actor, vessel_id, None, typed)


@router.get("/engines/{engine_id}")
def show(request: Request, engine_id: RowId, actor: Actor = Manager) -> Response:
    """The engine's form."""
    line = _line(request, engine_id)
    values = {
        "designation": line.designation,
        "cylinders": str(line.cylinders),
        "injectors_per_cylinder": str(line.injectors_per_cylinder),
        "injector_type_id": str(line.type_id),
    }
    return _page(request, actor, line.vessel_id, line, FormState(values), new_form_key())


@router.post("/engines/{engine_id}")
def change(request: Request, engine_id: RowId, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Change the engine."""
    line = _line(request, engine_id)
    return _save(request, actor, line.vessel_id, line, typed)


def _save(request: Request, actor: Actor, vessel_id: int, line: EngineLine | None, typed: Typed) -> Response:
    try:
        save_engine(
            shop_of(request),
            actor,
            vessel_id=vessel_id,
            designation=typed.text("designation"),
            cylinders=typed.whole("cylinders", "Cylinders"),
            injectors_per_cylinder=typed.whole("injectors_per_cylinder", "Injectors for each cylinder"),
            injector_type_id=chosen_id(typed, "injector_type_id", "Choose the injector type."),
            engine_id=line.id if line else None,
            version=typed.version if line else None,
        )
    except DomainError as error:
        status = status_of_form(error)
        if line:
            line = replace(line, version=seen_again(typed, error, line.version))
        return _page(request, actor, vessel_id, line, typed.shown(error), typed.text("form_key"), status)
    return see_other("/fleets", request)


def _line(request: Request, engine_id: int) -> EngineLine:
    with shop_of(request).store.reading() as session:
        line = engine_line(session, engine_id)
    if line is None:
        raise NotFound("no-engine", "There is no such engine.")
    return line


def _page(
    request: Request,
    actor: Actor,
    vessel_id: int,
    line: EngineLine | None,
    form: FormState,
    form_key: str,
    status: int = 200,
) -> Response:
    renderer = renderer_of(request)
    with shop_of(request).store.reading() as session:
        vessel = vessel_line(session, vessel_id)
        types = tuple(Option(str(one.id), f"{one.code} · {one.name}") for one in injector_types(session))
    if vessel is None:
        raise NotFound("no-vessel", "There is no such vessel.")
    heading = line.designation if line else "Add an engine"
    context = EnginePage(
        page=renderer.frame(f"{heading} of {vessel.name}", actor, "/fleets"),
        heading=heading,
        vessel=vessel,
        action=f"/fleets/engines/{line.id}" if line else f"/fleets/vessels/{vessel_id}/engines",
        form_key=form_key,
        seen=line.version if line else None,
        form=form,
        types=types,
    )
    return renderer.page("fleets/engine.html", context, status)
