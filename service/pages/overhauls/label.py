"""The tray label of one injector as a PDF."""

from urllib.parse import quote

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.looking import look_at_overhaul
from service.actions.shop import Actor
from service.documents.tray_label import TrayLabel, tray_label_pdf
from service.pages.guards import AtBench, shop_of

router = APIRouter()


@router.get("/overhauls/{number}/label.pdf")
def tray_label(request: Request, number: str, actor: Actor = AtBench) -> Response:
    """One label for the printer; its QR code opens the page of this injector."""
    shop = shop_of(request)
    loaded = look_at_overhaul(shop, actor, number)
    label = TrayLabel(
        workshop_name=shop.name,
        serial=loaded.unit.serial,
        injector_type=loaded.injector_type.code,
        overhaul_number=loaded.row.number,
        vessel_name=loaded.vessel.name,
        cylinder=loaded.row.cylinder,
        due=loaded.consignment.due_on,
        unit_url=f"{shop.public_origin}/units/{quote(loaded.unit.serial, safe='')}",
    )
    content = tray_label_pdf(label, shop.now())
    named = {"Content-Disposition": f'inline; filename="label-{loaded.row.number}.pdf"'}
    return Response(content, media_type="application/pdf", headers=named)
