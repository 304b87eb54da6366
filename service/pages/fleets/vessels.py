"""Adding and changing a vessel by its IMO number."""

from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.fleets import save_vessel
from service.actions.shop import Actor, NotFound, Shop
from service.metrology.errors import DomainError
from service.pages.choices import Option
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.refused_form import chosen_id, seen_again, status_of_form
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.row_ids import RowId
from service.pages.typed_forms import Typed, TypedForm
from service.records.register_reads import VesselLine, operator_names, vessel_line

router = APIRouter(prefix="/fleets/vessels")


@dataclass(frozen=True)
class VesselPage:
    """The form of one vessel; `seen` is None for a new one."""

    page: Frame
    heading: str
    action: str
    form_key: str
    seen: int | None
    form: FormState
    operators: tuple[Option, ...]


@router.get("/new")
def show_new(request: Request, operator: str = "", actor: Actor = Manager) -> Response:
    """An empty form, for the operator that the link came from."""
    return _page(request, actor, None, FormState({"operator_id": operator}), new_form_key())


@router.post("")
def add(request: Request, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Add a vessel."""
    return _save(request, actor, None, typed)


@router.get("/{vessel_id}")
def show(request: Request, vessel_id: RowId, actor: Actor = Manager) -> Response:
    """The vessel's form."""
    line = _line(shop_of(request), vessel_id)
    values = {"operator_id": str(line.operator_id), "name": line.name, "imo_number": line.imo_number}
    return _page(request, actor, line, FormState(values), new_form_key())


@router.post("/{vessel_id}")
def change(request: Request, vessel_id: RowId, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Change the vessel."""
    return _save(request, actor, _line(shop_of(request), vessel_id), typed)


def _save(request: Request, actor: Actor, line: VesselLine | None, typed: Typed) -> Response:
    try:
        save_vessel(
            shop_of(request),
            actor,
            operator_id=chosen_id(typed, "operator_id", "Choose the operator."),
            name=typed.text("name"),
            imo=typed.text("imo_number"),
            vessel_id=line.id if line else None,
            version=typed.version if line else None,
        )
    except DomainError as error:
        status = status_of_form(error)
        if line:
            line = replace(line, version=seen_again(typed, error, line.version))
        return _page(request, actor, line, typed.shown(error), typed.text("form_key"), status)
    return see_other("/fleets", request)


def _line(shop: Shop, vessel_id: int) -> VesselLine:
    with shop.store.reading() as session:
        line = vessel_line(session, vessel_id)
    if line is None:
        raise NotFound("no-vessel", "There is no such vessel.")
    return line


def _page(
    request: Request, actor: Actor, line: VesselLine | None, form: FormState, form_key: str, status: int = 200
) -> Response:
    renderer = renderer_of(request)
    with shop_of(request).store.reading() as session:
        operators = tuple(Option(str(number), name) for number, name in operator_names(session))
    heading = line.name if line else "Add a vessel"
    context = VesselPage(
        page=renderer.frame(heading, actor, "/fleets"),
        heading=heading,
        action=f"/fleets/vessels/{line.id}" if line else "/fleets/vessels",
        form_key=form_key,
        seen=line.version if line else None,
        form=form,
        operators=operators,
    )
    return renderer.page("fleets/vessel.html", context, status)
