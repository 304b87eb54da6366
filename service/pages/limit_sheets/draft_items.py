"""The form of one item of a draft: a part, an assembly, a characteristic, a torque or a test step; new or changed."""

from dataclasses import dataclass, replace
from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor, NotFound
from service.metrology.errors import DomainError
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.limit_sheets.class_limits import ClassLimits, class_limits
from service.pages.limit_sheets.class_pins import ClassPins, typed_class_pins
from service.pages.limit_sheets.draft_saving import draft_or_404, save_edit
from service.pages.limit_sheets.item_forms import ItemChoices, ItemForm, existing_form, item_choices, new_form
from service.pages.refused_form import seen_again, status_of_form, with_lists
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.typed_forms import Typed, TypedForm
from service.records.sheet_reads import StoredDraft
from service.workshop.limit_sheet import LimitSheet
from service.workshop.sheet_editing import Section, insert_item, replace_item

router = APIRouter(prefix="/limit-sheets/{code}/draft")


@dataclass(frozen=True)
class ItemPage:
    """The form; `fields` is the template of the item, `kind_fields` that of what its kind asks for, '' for nothing."""

    page: Frame
    code: str
    address: str
    section: str
    heading: str
    kind: str
    kind_label: str
    action: str
    fields: str
    kind_fields: str
    seen: int
    form: FormState
    form_key: str
    choices: ItemChoices
    limits: ClassLimits | None
    class_pins: ClassPins | None


@router.get("/{section}/new")
def show_new(request: Request, code: str, section: Section, kind: str = "", actor: Actor = Manager) -> Response:
    """An empty form."""
    draft = draft_or_404(shop_of(request), code)
    item = new_form(section, kind)
    return _page(request, actor, draft, item, FormState(item.values), draft.version)


@router.post("/{section}/new")
def add(
    request: Request,
    code: str,
    section: Section,
    kind: str = "",
    actor: Actor = Manager,
    typed: Typed = TypedForm,
) -> Response:
    """Add an item at the end of its list."""
    return _save(request, actor, draft_or_404(shop_of(request), code), new_form(section, kind), typed)


@router.get("/{section}/item")
def show_item(request: Request, code: str, section: Section, key: str = "", actor: Actor = Manager) -> Response:
    """The item's form."""
    draft = draft_or_404(shop_of(request), code)
    item = existing_form(draft.sheet, section, key)
    return _page(request, actor, draft, item, FormState(item.values), draft.version)


@router.post("/{section}/item")
def change(
    request: Request, code: str, section: Section, key: str = "", actor: Actor = Manager, typed: Typed = TypedForm
) -> Response:
    """Change the item; one that somebody took off the sheet meanwhile is offered to be added again."""
    draft = draft_or_404(shop_of(request), code)
    try:
        item = existing_form(draft.sheet, section, key)
    except NotFound:
        if typed.text("seen") == str(draft.version):
            raise
        item = new_form(section, typed.text("kind"))
        gone = f"Somebody took this {section.noun} off the sheet since you opened it. Saving adds it again."
        form = replace(with_lists(typed.shown(), typed, *item.lists), errors={"": gone})
        return _page(request, actor, draft, item, form, draft.version, 409)
    return _save(request, actor, draft, item, typed)


def _save(request: Request, actor: Actor, draft: StoredDraft, item: ItemForm, typed: Typed) -> Response:
    form = with_lists(typed.shown(), typed, *item.lists)
    if typed.text("show"):
        return _page(request, actor, draft, item, form, seen_again(typed, None, draft.version))

    def edit(sheet: LimitSheet) -> LimitSheet:
        read = item.read(typed, sheet)
        if item.key is None:
            return insert_item(sheet, item.section, read)
        return replace_item(sheet, item.section, item.key, read)

    try:
        save_edit(shop_of(request), actor, draft, typed.version, edit)
    except DomainError as error:
        status, seen = status_of_form(error), seen_again(typed, error, draft.version)
        refused = with_lists(typed.shown(error), typed, *item.lists)
        return _page(request, actor, draft, item, refused, seen, status)
    return see_other(f"/limit-sheets/{draft.code}/draft#{item.section.value}", request)


def _one(form: FormState, name: str) -> str:
    """What stands in a field, the first of several."""
    value = form.values.get(name, "")
    return value if isinstance(value, str) else value[0]


def _page(
    request: Request, actor: Actor, draft: StoredDraft, item: ItemForm, form: FormState, seen: int, status: int = 200
) -> Response:
    renderer = renderer_of(request)
    address = f"/limit-sheets/{draft.code}/draft"
    if item.key is None:
        action = f"{address}/{item.section.value}/new{f'?kind={item.kind}' if item.kind else ''}"
    else:
        action = f"{address}/{item.section.value}/item?key={quote(item.key, safe='')}"
    context = ItemPage(
        page=renderer.frame(f"{item.heading}, draft of {draft.code}", actor, "/limit-sheets"),
        code=draft.code,
        address=address,
        section=item.section.value,
        heading=item.heading,
        kind=item.kind,
        kind_label=item.kind_label,
        action=action,
        fields=item.template,
        kind_fields=item.kind_template,
        seen=seen,
        form=form,
        form_key=new_form_key(),
        choices=item_choices(draft.sheet, form),
        limits=class_limits(_one(form, "designation")),
        class_pins=typed_class_pins(lambda name: _one(form, name)),
    )
    return renderer.page("limit_sheets/draft_item.html", context, status)
