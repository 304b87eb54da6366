"""Scanned calibration certificates: sent on a route of their own, given back only to who works at the bench."""

import re

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.calibrations import SCAN_LIMIT_BYTES, keep_scan
from service.actions.looking import look_at_scan
from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.pages.guards import AtBench, Manager, shop_of
from service.pages.instruments.instrument_view import SmallForms, instrument_page
from service.pages.instruments.places import history_of, place_of
from service.pages.refused_form import status_of_form
from service.pages.rendering import see_other
from service.pages.row_ids import RowId
from service.pages.typed_forms import Typed, TypedForm
from service.records.scanned_files import headers_of_file

router = APIRouter(prefix="/instruments")

UPLOAD_PATHS = re.compile(r"(/api/v1)?/instruments/.{1,60}/calibrations/\d{1,10}/scans")
UPLOAD_LIMIT_BYTES = SCAN_LIMIT_BYTES + 20_000
"""What may come on these addresses: one scan, and what a form wraps around it."""


# The guard stands first: nobody who is not a manager has the body read.
@router.post("/{code:path}/calibrations/{calibration_id}/scans")
def send_scan(
    request: Request, code: str, calibration_id: RowId, actor: Actor = Manager, typed: Typed = TypedForm
) -> Response:
    """Keep one file."""
    shop = shop_of(request)
    found = history_of(shop, code)
    try:
        keep_scan(
            shop,
            actor,
            code=found.row.code,
            calibration_id=calibration_id,
            content=typed.files.get("scan", b""),
        )
    except DomainError as error:
        forms = SmallForms(scan=(calibration_id, typed.shown(error)))
        return instrument_page(request, actor, found, forms, status=status_of_form(error))
    return see_other(place_of(found.row.code), request)


@router.get("/{code:path}/calibrations/{calibration_id}/scans/{scan_id}")
def show_scan(request: Request, code: str, calibration_id: RowId, scan_id: RowId, actor: Actor = AtBench) -> Response:
    """The bytes as they were sent."""
    name, media_type, content = look_at_scan(shop_of(request), actor, code, calibration_id, scan_id)
    return Response(content, media_type=media_type, headers=headers_of_file(name, media_type))
