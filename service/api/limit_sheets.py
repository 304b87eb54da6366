"""Limit sheets: reading revisions, drafting by import, approving."""

from datetime import datetime
from typing import Any

from fastapi import APIRouter, Depends, Request, Response
from fastapi import Body as BodyParameter

from service.actions.sheets import approve_draft, export_sheet, import_sheet
from service.actions.shop import Actor, NotFound, Shop
from service.api.bodies import Answer, Body, Count, IdInPath, InPath
from service.api.description import READS, WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, Manager, TheShop
from service.records.api_reads import sheet_revisions
from service.records.registers import type_by_code
from service.workshop.vocabulary import SheetState

router = APIRouter(prefix="/injector-types/{code}/limit-sheets", tags=["limit sheets"], route_class=ExactRoute)


class SheetRevisionAnswer(Answer):
    """One revision; `version` counts the changes of a draft."""

    revision: int
    state: SheetState
    approved_by: str
    approved_at: datetime | None
    version: int


class SheetRevisions(Answer):
    """Every revision, newest first."""

    items: list[SheetRevisionAnswer]


class ApprovalBody(Body):
    """The version of the draft that was read and is approved."""

    version: Count


async def body_bytes(request: Request) -> bytes:
    """The file as it was sent: the reader of sheets names the place of a fault in it."""
    return await request.body()


@router.get("", operation_id="list_limit_sheets", responses=READS)
def list_limit_sheets(code: InPath, actor: Actor = AtBench, shop: Shop = TheShop) -> SheetRevisions:
    """Every revision of the type's limit sheet."""
    with shop.store.reading() as session:
        if type_by_code(session, code) is None:
            raise NotFound("no-type", f"There is no injector type {code}.")
        items = [SheetRevisionAnswer.model_validate(row) for row in sheet_revisions(session, code)]
    return SheetRevisions(items=items)


@router.get("/{revision}", operation_id="read_limit_sheet", responses=READS, response_model=dict[str, Any])
def read_limit_sheet(code: InPath, revision: IdInPath, actor: Actor = AtBench, shop: Shop = TheShop) -> Response:
    """The revision as its file, to the schema that is published in shared/schemas/limit-sheet.schema.json."""
    return Response(export_sheet(shop, type_code=code, revision=revision), media_type="application/json")


@router.put("/draft", operation_id="import_limit_sheet", responses=WRITES)
def import_limit_sheet(
    code: InPath,
    file: dict[str, Any] = BodyParameter(description="A limit sheet file."),
    text: bytes = Depends(body_bytes),
    actor: Actor = Manager,
    shop: Shop = TheShop,
) -> SheetRevisionAnswer:
    """Take the file as the type's draft; a draft there is gets replaced."""
    return _revision(shop, code, import_sheet(shop, actor, text, type_code=code))


@router.post("/draft/approval", status_code=201, operation_id="approve_limit_sheet", responses=WRITES)
def approve_limit_sheet(
    code: InPath, body: ApprovalBody, actor: Actor = Manager, shop: Shop = TheShop
) -> SheetRevisionAnswer:
    """Put the draft in force; open overhauls stay on the revision they started under."""
    return _revision(shop, code, approve_draft(shop, actor, type_code=code, version=body.version))


def _revision(shop: Shop, code: str, revision: int) -> SheetRevisionAnswer:
    with shop.store.reading() as session:
        found = next(row for row in sheet_revisions(session, code) if row.revision == revision)
        return SheetRevisionAnswer.model_validate(found)
