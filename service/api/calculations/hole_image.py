"""One hole in a photograph: the picture is the body, its scale stands in the query."""

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.concurrency import run_in_threadpool
from pydantic import Field

from service.actions.hole_images import measure_picture
from service.actions.shop import Actor, Refused
from service.api.bodies import Body, quantity
from service.api.description import WRITES
from service.api.guards import AtBench
from service.api.overhauls.hole_images import HoleAnswer, hole_answer
from service.metrology.hole_image.given_scale import BarScale, GivenScale, PitchScale, Place
from service.metrology.typed_numbers import parse_decimal

router = APIRouter(prefix="/calculations", tags=["calculations"])
_PICTURE = {
    "requestBody": {
        "required": True,
        "content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}},
    }
}
Asked = Annotated[str, Field(max_length=80, pattern=r"^[^\x00]*$")]


class ScaleQuery(Body):
    """Either a calibrated pixel pitch, or the length of a scale bar and its two ends; each with its U, k = 2.

    Numbers are read as they are typed at a form: with a decimal comma or point, the length with a unit of its own.
    An end is `x;y` in pixels from the left and from the top of the upright photograph.
    """

    um_per_pixel: Asked = ""
    expanded_uncertainty: Asked = ""
    length_um: Asked = ""
    length_uncertainty_um: Asked = ""
    start_px: Asked = ""
    end_px: Asked = ""

    def given(self) -> GivenScale:
        """For the action. Raises Refused or MetrologyError at the field."""
        if bool(self.um_per_pixel) is bool(self.length_um):
            raise Refused("scale", "Give either `um_per_pixel`, or `length_um` with both ends.", "um_per_pixel")
        if self.um_per_pixel:
            return PitchScale(
                um_per_pixel=parse_decimal(self.um_per_pixel, "um_per_pixel"),
                expanded_uncertainty=parse_decimal(self.expanded_uncertainty, "expanded_uncertainty"),
            )
        return BarScale(
            length_um=quantity(self.length_um, None, "µm", "length_um"),
            length_uncertainty_um=quantity(self.length_uncertainty_um, None, "µm", "length_uncertainty_um"),
            start_px=_place(self.start_px, "start_px"),
            end_px=_place(self.end_px, "end_px"),
        )


@router.post("/hole-image", operation_id="calculate_hole_image", responses=WRITES, openapi_extra=_PICTURE)
async def calculate_hole_image(
    request: Request, asked: Annotated[ScaleQuery, Query()], actor: Actor = AtBench
) -> HoleAnswer:
    """Measure the one hole in a JPEG or PNG of up to 15 MB and 50 million pixels; nothing is stored."""
    content = await request.body()  # read only now: whoever may not ask has been turned away
    return hole_answer(await run_in_threadpool(measure_picture, actor, content, asked.given()))


def _place(typed: str, field: str) -> Place:
    x, separator, y = typed.partition(";")
    if not separator:
        raise Refused("place", "Give x;y in pixels from the left and from the top, such as 120;340.", field)
    return parse_decimal(x.strip(), field), parse_decimal(y.strip(), field)
