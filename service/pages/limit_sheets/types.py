"""The injector types with the revision in force and the draft; one type with all its revisions."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.sheets import import_sheet, open_blank_draft, open_draft
from service.actions.shop import Actor, NotFound, Refused, Shop
from service.metrology.errors import DomainError
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.refused_form import status_of_form
from service.pages.rendering import FormState, Frame, minute, new_form_key, see_other
from service.pages.typed_forms import Typed, TypedForm
from service.records.register_reads import TypeLine, injector_types
from service.records.sheet_reads import RevisionLine, TypeWithRevisions, type_with_revisions

router = APIRouter(prefix="/limit-sheets")


@dataclass(frozen=True)
class TypesPage:
    """The list of types."""

    page: Frame
    types: tuple[TypeLine, ...]


@dataclass(frozen=True)
class RevisionRow:
    """A revision as the list shows it."""

    number: int
    state: str
    approved: str


@dataclass(frozen=True)
class TypePage:
    """One type: its revisions, and ways to a draft. `copy_of` is the revision that a new draft copies."""

    page: Frame
    code: str
    name: str
    address: str
    revisions: tuple[RevisionRow, ...]
    has_draft: bool
    copy_of: int | None
    form: FormState
    form_key: str


@router.get("")
def show_types(request: Request, actor: Actor = Manager) -> Response:
    """All types."""
    renderer = renderer_of(request)
    with shop_of(request).store.reading() as session:
        types = injector_types(session)
    return renderer.page("limit_sheets/types.html", TypesPage(_frame(request, actor, "Limit sheets"), types))


@router.get("/{code}")
def show_type(request: Request, code: str, actor: Actor = Manager) -> Response:
    """One type."""
    return _page(request, actor, code, FormState(), new_form_key())


@router.post("/{code}/drafts")
def start_draft(request: Request, code: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Start a draft: a copy of the revision in force, or an empty one for a type without any."""
    shop = shop_of(request)
    known = type_or_404(shop, code)
    start = open_draft if known.in_force else open_blank_draft
    try:
        start(shop, actor, type_code=code)
    except DomainError as error:
        return _page(request, actor, code, typed.shown(error), typed.text("form_key"), status_of_form(error))
    return see_other(f"/limit-sheets/{code}/draft", request)


@router.post("/{code}/files")
def import_file(request: Request, code: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Take a file as the draft."""
    shop = shop_of(request)
    type_or_404(shop, code)
    try:
        if not typed.files.get("file"):
            raise Refused("no-file", "Choose the file of a limit sheet first.", "file")
        import_sheet(shop, actor, typed.files["file"], type_code=code)
    except DomainError as error:
        status = status_of_form(error)
        # The file has one field on the page, whatever its place inside: the sentence names that place.
        form = FormState({}, {"file": error.sentence})
        return _page(request, actor, code, form, typed.text("form_key"), status)
    return see_other(f"/limit-sheets/{code}/draft", request)


def type_or_404(shop: Shop, code: str) -> TypeWithRevisions:
    """The type with its revisions. Raises NotFound."""
    with shop.store.reading() as session:
        found = type_with_revisions(session, code)
    if found is None:
        raise NotFound("no-type", "There is no such injector type.")
    return found


def _frame(request: Request, actor: Actor, title: str) -> Frame:
    return renderer_of(request).frame(title, actor, "/limit-sheets")


def _row(line: RevisionLine) -> RevisionRow:
    approved = f"{line.approved_by}, {minute(line.approved_at)}" if line.approved_at else "not yet"
    return RevisionRow(line.revision, line.state.value, approved)


def _page(request: Request, actor: Actor, code: str, form: FormState, form_key: str, status: int = 200) -> Response:
    known = type_or_404(shop_of(request), code)
    context = TypePage(
        page=_frame(request, actor, f"Limit sheet {code}"),
        code=code,
        name=known.name,
        address=f"/limit-sheets/{code}",
        revisions=tuple(_row(line) for line in known.revisions),
        has_draft=known.draft is not None,
        copy_of=known.in_force.revision if known.in_force else None,
        form=form,
        form_key=form_key,
    )
    return renderer_of(request).page("limit_sheets/type.html", context, status)
