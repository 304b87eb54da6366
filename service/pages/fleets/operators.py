"""Adding and changing an operator with its standing order."""

from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.fleets import ASKABLE, save_operator
from service.actions.shop import Actor, NotFound, Shop
from service.metrology.errors import DomainError
from service.pages.choices import Option, options_of
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.refused_form import seen_again, status_of_form, with_lists
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.row_ids import RowId
from service.pages.typed_forms import Typed, TypedForm
from service.records.register_reads import OperatorLine, operator_line

router = APIRouter(prefix="/fleets/operators")


@dataclass(frozen=True)
class OperatorPage:
    """The form of one operator; `seen` is None for a new one."""

    page: Frame
    heading: str
    action: str
    form_key: str
    seen: int | None
    form: FormState
    dispositions: tuple[Option, ...]


@router.get("/new")
def show_new(request: Request, actor: Actor = Manager) -> Response:
    """An empty form."""
    return _page(request, actor, None, FormState(), new_form_key())


@router.post("")
def add(request: Request, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Add an operator."""
    return _save(request, actor, None, typed)


@router.get("/{operator_id}")
def show(request: Request, operator_id: RowId, actor: Actor = Manager) -> Response:
    """The operator's form."""
    line = _line(shop_of(request), operator_id)
    values: dict[str, str | list[str]] = {
        "name": line.name,
        "contact": line.contact,
        "standing_order": [one.value for one in line.standing_order],
    }
    return _page(request, actor, line, FormState(values), new_form_key())


@router.post("/{operator_id}")
def change(request: Request, operator_id: RowId, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Change the operator."""
    return _save(request, actor, _line(shop_of(request), operator_id), typed)


def _save(request: Request, actor: Actor, line: OperatorLine | None, typed: Typed) -> Response:
    try:
        save_operator(
            shop_of(request),
            actor,
            name=typed.text("name"),
            contact=typed.text("contact"),
            standing_order=frozenset(one for one in ASKABLE if one.value in typed.many("standing_order")),
            operator_id=line.id if line else None,
            version=typed.version if line else None,
        )
    except DomainError as error:
        status = status_of_form(error)
        form = with_lists(typed.shown(error), typed, "standing_order")
        if line:
            line = replace(line, version=seen_again(typed, error, line.version))
        return _page(request, actor, line, form, typed.text("form_key"), status)
    return see_other("/fleets", request)


def _line(shop: Shop, operator_id: int) -> OperatorLine:
    with shop.store.reading() as session:
        line = operator_line(session, operator_id)
    if line is None:
        raise NotFound("no-operator", "There is no such operator.")
    return line


def _page(
    request: Request, actor: Actor, line: OperatorLine | None, form: FormState, form_key: str, status: int = 200
) -> Response:
    renderer = renderer_of(request)
    heading = line.name if line else "Add an operator"
    context = OperatorPage(
        page=renderer.frame(heading, actor, "/fleets"),
        heading=heading,
        action=f"/fleets/operators/{line.id}" if line else "/fleets/operators",
        form_key=form_key,
        seen=line.version if line else None,
        form=form,
        dispositions=options_of(ASKABLE),
    )
    return renderer.page("fleets/operator.html", context, status)
