"""Adding and changing an injector type by the workshop's own code."""

from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.fleets import save_injector_type
from service.actions.shop import Actor, NotFound, Shop
from service.metrology.errors import DomainError
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.refused_form import seen_again, status_of_form
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.row_ids import RowId
from service.pages.typed_forms import Typed, TypedForm
from service.records.register_reads import TypeLine, injector_types

router = APIRouter(prefix="/fleets/injector-types")


@dataclass(frozen=True)
class TypePage:
    """The form of one type; `seen` is None for a new one. The code of a type with a limit sheet stands fast."""

    page: Frame
    heading: str
    action: str
    form_key: str
    seen: int | None
    form: FormState
    code_stands: bool


@router.get("/new")
def show_new(request: Request, actor: Actor = Manager) -> Response:
    """An empty form."""
    return _page(request, actor, None, FormState(), new_form_key())


@router.post("")
def add(request: Request, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Add a type."""
    return _save(request, actor, None, typed)


@router.get("/{type_id}")
def show(request: Request, type_id: RowId, actor: Actor = Manager) -> Response:
    """The type's form."""
    line = _line(shop_of(request), type_id)
    return _page(request, actor, line, FormState({"code": line.code, "name": line.name}), new_form_key())


@router.post("/{type_id}")
def change(request: Request, type_id: RowId, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Change the type."""
    return _save(request, actor, _line(shop_of(request), type_id), typed)


def _save(request: Request, actor: Actor, line: TypeLine | None, typed: Typed) -> Response:
    try:
        save_injector_type(
            shop_of(request),
            actor,
            code=typed.text("code"),
            name=typed.text("name"),
            type_id=line.id if line else None,
            version=typed.version if line else None,
        )
    except DomainError as error:
        status = status_of_form(error)
        if line:
            line = replace(line, version=seen_again(typed, error, line.version))
        return _page(request, actor, line, typed.shown(error), typed.text("form_key"), status)
    return see_other("/fleets#injector-types", request)


def _line(shop: Shop, type_id: int) -> TypeLine:
    with shop.store.reading() as session:
        line = next((one for one in injector_types(session) if one.id == type_id), None)
    if line is None:
        raise NotFound("no-type", "There is no such injector type.")
    return line


def _page(
    request: Request, actor: Actor, line: TypeLine | None, form: FormState, form_key: str, status: int = 200
) -> Response:
    renderer = renderer_of(request)
    heading = line.code if line else "Add an injector type"
    context = TypePage(
        page=renderer.frame(heading, actor, "/fleets"),
        heading=heading,
        action=f"/fleets/injector-types/{line.id}" if line else "/fleets/injector-types",
        form_key=form_key,
        seen=line.version if line else None,
        form=form,
        code_stands=line is not None and (line.in_force is not None or line.draft is not None),
    )
    return renderer.page("fleets/injector_type.html", context, status)
