"""One revision as people read it, and as a file."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.sheets import export_sheet, sheet_revision
from service.actions.shop import Actor
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.limit_sheets.sheet_view import SheetView, sheet_view
from service.pages.rendering import Frame, minute
from service.pages.row_ids import RowId
from service.records.sheet_file import stored_sheet

router = APIRouter(prefix="/limit-sheets/{code}/revisions")


@dataclass(frozen=True)
class RevisionPage:
    """The revision; `state` says in words whether it is in force."""

    page: Frame
    code: str
    number: int
    state: str
    address: str
    view: SheetView


@router.get("/{revision}")
def show_revision(request: Request, code: str, revision: RowId, actor: Actor = Manager) -> Response:
    """The whole sheet."""
    renderer = renderer_of(request)
    with shop_of(request).store.reading() as session:
        row = sheet_revision(session, code, revision)
    approved = f", approved by {row.approved_by}, {minute(row.approved_at)}" if row.approved_at else ""
    context = RevisionPage(
        page=renderer.frame(f"Limit sheet {code}, revision {revision}", actor, "/limit-sheets"),
        code=code,
        number=revision,
        state=f"{row.state.capitalize()}{approved}",
        address=f"/limit-sheets/{code}/revisions/{revision}",
        view=sheet_view(stored_sheet(row.content)),
    )
    return renderer.page("limit_sheets/revision.html", context)


@router.get("/{revision}/file")
def download(request: Request, code: str, revision: RowId, actor: Actor = Manager) -> Response:
    """The sheet as one JSON file."""
    text = export_sheet(shop_of(request), type_code=code, revision=revision)
    name = "".join(sign if sign.isascii() and (sign.isalnum() or sign in "-._") else "_" for sign in code)
    headers = {"Content-Disposition": f'attachment; filename="limit-sheet-{name}-{revision}.json"'}
    return Response(text, media_type="application/json", headers=headers)
