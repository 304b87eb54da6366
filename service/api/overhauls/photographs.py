"""Photographs of an overhaul: sent as a form with a file, listed with what was measured in them, read as bytes."""

from dataclasses import dataclass
from datetime import datetime
from typing import Any

from fastapi import APIRouter, Request, Response
from fastapi.concurrency import run_in_threadpool
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException

from service.actions.photographs import add_photograph, look_at_photographs, look_at_picture
from service.actions.shop import Actor, Refused, Shop
from service.api.bodies import Answer, IdInPath, InPath
from service.api.description import READS, WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, Caller, TheShop
from service.api.overhauls.hole_images import EvaluationAnswer, evaluation_answer
from service.records.picture_headers import headers_of_picture

router = APIRouter(prefix="/overhauls/{number}/photographs", tags=["overhauls"], route_class=ExactRoute)
_BYTES = {"schema": {"type": "string", "format": "binary"}}
_PICTURE: dict[int | str, dict[str, Any]] = {200: {"content": {"image/jpeg": _BYTES, "image/png": _BYTES}}}
_FORM = {
    "requestBody": {
        "required": True,
        "content": {
            "multipart/form-data": {
                "schema": {
                    "type": "object",
                    "title": "PhotographForm",
                    "required": ["form_key", "subject", "picture"],
                    "properties": {
                        "form_key": {"type": "string", "pattern": "^[A-Za-z0-9_-]{8,64}$"},
                        "subject": {"type": "string", "description": "`arrival`, or the key of a characteristic."},
                        "remark": {"type": "string", "maxLength": 500},
                        "picture": {"type": "string", "format": "binary", "description": "JPEG or PNG, up to 15 MB."},
                    },
                }
            }
        },
    }
}


class PhotographAnswer(Answer):
    """A photograph as it is kept: upright and without what the camera wrote beside it; `sha256` is of those bytes."""

    id: int
    subject: str
    media_type: str
    width: int
    height: int
    size: int
    sha256: str
    remark: str
    recorded_at: datetime
    person_name: str
    evaluations: list[EvaluationAnswer]


class PhotographList(Answer):
    """Every photograph of the overhaul, oldest first."""

    items: list[PhotographAnswer]


class PhotographAdded(Answer):
    """The number of the photograph."""

    id: int


@dataclass(frozen=True)
class _Sent:
    texts: dict[str, str]
    content: bytes


@router.get("", operation_id="list_photographs", responses=READS)
def list_photographs(number: InPath, actor: Actor = Caller, shop: Shop = TheShop) -> PhotographList:
    """The photographs, each with the holes that were measured in it."""
    found = look_at_photographs(shop, actor, number)
    return PhotographList(
        items=[
            PhotographAnswer(
                **row.model_dump(include=set(PhotographAnswer.model_fields)),
                evaluations=[evaluation_answer(one) for one in found.evaluations if one.photograph_id == row.id],
            )
            for row in found.rows
        ]
    )


@router.post("", status_code=201, operation_id="add_photograph", responses=WRITES, openapi_extra=_FORM)
async def send_photograph(
    request: Request, number: InPath, actor: Actor = AtBench, shop: Shop = TheShop
) -> PhotographAdded:
    """Keep a photograph of how the injector arrived, or of a characteristic. The same picture is kept once."""
    sent = await _sent(request)  # read only now: whoever may not add photographs has been turned away
    made = await run_in_threadpool(
        add_photograph,
        shop,
        actor,
        number,
        form_key=sent.texts.get("form_key", ""),
        subject=sent.texts.get("subject", ""),
        content=sent.content,
        remark=sent.texts.get("remark", ""),
    )
    return PhotographAdded(id=made)


@router.get(
    "/{photograph_id}/picture",
    operation_id="read_photograph",
    response_class=Response,
    responses={**READS, **_PICTURE},
)
def read_photograph(number: InPath, photograph_id: IdInPath, actor: Actor = Caller, shop: Shop = TheShop) -> Response:
    """The bytes as they are kept."""
    row, content = look_at_picture(shop, actor, number, photograph_id, "whole")
    return Response(content, media_type=row.media_type, headers=headers_of_picture(number, row, row.media_type))


async def _sent(request: Request) -> _Sent:
    """The form. Raises Refused where the body is none, or holds a sign that no database stores."""
    try:
        async with request.form(max_files=1, max_fields=8) as data:
            texts = {name: value for name, value in data.multi_items() if isinstance(value, str)}
            files = [value for name, value in data.multi_items() if name == "picture" and isinstance(value, UploadFile)]
            content = await files[0].read() if files else b""
        "".join(texts.values()).encode()
    except (HTTPException, UnicodeError) as error:
        if getattr(error, "status_code", 400) == 413:
            raise
        raise Refused("form", "Send a form (multipart/form-data, UTF-8) with the file as `picture`.") from error
    if any("\x00" in value for value in texts.values()):
        raise Refused("form", "A text holds no NUL sign.")
    return _Sent(texts, content)
