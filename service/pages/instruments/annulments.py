"""Annulling a calibration that was entered wrongly, with a reason."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.annulling import annul_calibration
from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.pages.guards import Manager, shop_of
from service.pages.instruments.instrument_view import SmallForms, instrument_page
from service.pages.instruments.places import history_of, place_of
from service.pages.refused_form import seen_again, status_of_form
from service.pages.rendering import see_other
from service.pages.row_ids import RowId
from service.pages.typed_forms import Typed, TypedForm

router = APIRouter(prefix="/instruments")


@router.post("/{code:path}/calibrations/{calibration_id}/annulment")
def annul(
    request: Request, code: str, calibration_id: RowId, actor: Actor = Manager, typed: Typed = TypedForm
) -> Response:
    """Strike it; the history keeps it."""
    shop = shop_of(request)
    found = history_of(shop, code)
    try:
        annul_calibration(
            shop,
            actor,
            code=found.row.code,
            calibration_id=calibration_id,
            reason=typed.text("reason"),
            version=typed.version,
        )
    except DomainError as error:
        forms = SmallForms(annulment=(calibration_id, typed.shown(error)))
        seen = seen_again(typed, error, found.row.version)
        return instrument_page(request, actor, found, forms, seen=seen, status=status_of_form(error))
    return see_other(place_of(found.row.code), request)
