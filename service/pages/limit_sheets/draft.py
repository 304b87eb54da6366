"""The editor of a draft: everything on one page with all faults, moving and removing items, approval."""

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.sheets import SheetNotReady, approve_draft
from service.actions.shop import Actor, Refused
from service.metrology.errors import DomainError
from service.pages.choices import Option
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.limit_sheets.draft_saving import Edit, draft_or_404, save_edit
from service.pages.limit_sheets.limit_words import CHARACTERISTIC_KINDS, STEP_KINDS
from service.pages.limit_sheets.sheet_view import SheetView, sheet_view
from service.pages.refused_form import status_of_form
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.typed_forms import Typed, TypedForm
from service.workshop.limit_sheet import LimitSheet
from service.workshop.sheet_checks import SheetFault, sheet_faults
from service.workshop.sheet_editing import Section, key_taken, move_item, remove_item

router = APIRouter(prefix="/limit-sheets/{code}/draft")


@dataclass(frozen=True)
class FaultLine:
    """A fault with the way to the form where it is mended, as `blockers` prints it."""

    sentence: str
    href: str
    remedy: str


@dataclass(frozen=True)
class DraftPage:
    """The whole draft. `faults_at` has the sentences of each item by section and key, such as `parts.nozzle`."""

    page: Frame
    code: str
    revision: int
    address: str
    seen: int
    form: FormState
    form_key: str
    view: SheetView
    faults: tuple[FaultLine, ...]
    faults_at: Mapping[str, tuple[str, ...]]
    characteristic_kinds: tuple[Option, ...]
    step_kinds: tuple[Option, ...]


@router.get("")
def show_draft(request: Request, code: str, actor: Actor = Manager) -> Response:
    """The editor."""
    return _page(request, actor, code, FormState())


@router.post("/{section}/places")
def move(request: Request, code: str, section: Section, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Move an item one place up or down."""
    key, way = typed.text("key"), {"up": -1, "down": 1}.get(typed.text("direction"), 0)
    return _edit(request, actor, code, section, typed, lambda sheet: move_item(sheet, section, key, way))


@router.post("/{section}/removals")
def remove(request: Request, code: str, section: Section, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Take an item off the sheet."""
    key = typed.text("key")
    return _edit(request, actor, code, section, typed, lambda sheet: remove_item(sheet, section, key))


@router.post("/approvals")
def approve(request: Request, code: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Put the draft in force."""
    shop = shop_of(request)
    draft_or_404(shop, code)
    try:
        if not typed.ticked("compared"):
            raise Refused(
                "compared", "Compare every limit with the maker's document first, then mark this.", "compared"
            )
        approve_draft(shop, actor, type_code=code, version=typed.version)
    except SheetNotReady:
        refused = FormState(typed.shown().values, {"": "It cannot be approved yet: mend what is listed here first."})
        return _page(request, actor, code, refused, 422)
    except DomainError as error:
        return _page(request, actor, code, typed.shown(error), status_of_form(error))
    return see_other(f"/limit-sheets/{code}", request)


def _edit(request: Request, actor: Actor, code: str, section: Section, typed: Typed, edit: Edit) -> Response:
    shop = shop_of(request)
    try:
        save_edit(shop, actor, draft_or_404(shop, code), typed.version, edit)
    except DomainError as error:
        return _page(request, actor, code, typed.shown(error), status_of_form(error))
    return see_other(f"/limit-sheets/{code}/draft#{section.value}", request)


def fault_lines(sheet: LimitSheet, faults: tuple[SheetFault, ...], address: str) -> tuple[FaultLine, ...]:
    """Each fault with the address of the form that mends it."""
    return tuple(FaultLine(one.sentence, *_mended(sheet, one.place, address)) for one in faults)


def _mended(sheet: LimitSheet, place: str, address: str) -> tuple[str, str]:
    first, _, key = place.partition(".")
    if first == "test_plan" and key:
        section, key = Section.STEPS, "" if key == "steps" else key.removeprefix("steps.")
    elif first in list(Section):
        section = Section(first)
    elif first == "test_plan":
        return f"{address}/test-plan", "Test plan"
    else:
        return f"{address}/head#{place}", "Head of the sheet"
    if section is Section.PARTS and key and not any(part.key == key for part in sheet.parts):
        section = Section.ASSEMBLIES
    if not key or not key_taken(sheet, section, key):
        return f"{address}#{section.value}", f"Add a {section.noun}"
    return f"{address}/{section.value}/item?key={quote(key, safe='')}", f"{section.noun.capitalize()} “{key}”"


def _by_item(faults: tuple[SheetFault, ...]) -> Mapping[str, tuple[str, ...]]:
    found: dict[str, tuple[str, ...]] = {}
    for fault in faults:
        place = fault.place.replace("test_plan.steps.", "test_plan.").replace("test_plan.", "steps.")
        found[place] = (*found.get(place, ()), fault.sentence)
    return found


def _page(request: Request, actor: Actor, code: str, form: FormState, status: int = 200) -> Response:
    renderer = renderer_of(request)
    draft = draft_or_404(shop_of(request), code)
    address, faults = f"/limit-sheets/{code}/draft", sheet_faults(draft.sheet)
    context = DraftPage(
        page=renderer.frame(f"Draft of {code}", actor, "/limit-sheets"),
        code=code,
        revision=draft.revision,
        address=address,
        seen=draft.version,
        form=form,
        form_key=new_form_key(),
        view=sheet_view(draft.sheet),
        faults=fault_lines(draft.sheet, faults, address),
        faults_at=_by_item(faults),
        characteristic_kinds=tuple(Option(kind, label) for kind, label in CHARACTERISTIC_KINDS.items()),
        step_kinds=tuple(Option(kind, label) for kind, label in STEP_KINDS.items()),
    )
    return renderer.page("limit_sheets/draft.html", context, status)
