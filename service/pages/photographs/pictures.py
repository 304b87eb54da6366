"""The bytes of a photograph: only for who may see the overhaul, and never kept by a cache."""

from typing import Literal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.photographs import look_at_picture
from service.actions.shop import Actor
from service.pages.guards import SignedIn, shop_of
from service.pages.row_ids import RowId
from service.records.picture_headers import headers_of_picture

router = APIRouter()


@router.get("/overhauls/{number}/photographs/{photograph_id}/pictures/{size}")
def show_picture(
    request: Request,
    number: str,
    photograph_id: RowId,
    size: Literal["whole", "shown", "thumbnail"],
    actor: Actor = SignedIn,
) -> Response:
    """The picture at that size. A thumbnail and a picture for a page are JPEG always."""
    row, content = look_at_picture(shop_of(request), actor, number, photograph_id, size)
    media_type = row.media_type if size == "whole" else "image/jpeg"
    return Response(content, media_type=media_type, headers=headers_of_picture(number, row, media_type))
