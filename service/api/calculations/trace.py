"""Openings and holds of a pressure trace: the logger's file is the body, what is asked of it stands in the query."""

from typing import Annotated

from fastapi import APIRouter, Query, Request
from fastapi.concurrency import run_in_threadpool
from pydantic import Field

from service.actions.shop import Actor
from service.api.bodies import Answer, Body
from service.api.description import WRITES
from service.api.guards import AtBench
from service.metrology.conformity import Conforms, DoesNotConform, NotProven

router = APIRouter(prefix="/calculations", tags=["calculations"])
_FILE = {
    "requestBody": {
        "required": True,
        "content": {"application/octet-stream": {"schema": {"type": "string", "format": "binary"}}},
    }
}
_VERDICTS = "|".join(one.name for one in (Conforms, NotProven, DoesNotConform))
Asked = Annotated[str | None, Field(max_length=80, pattern=r"^[^\x00]*$")]
Pair = Annotated[list[float], Field(min_length=2, max_length=2)]


class TraceReading(Body):
    """How a file is read, and the rig it was recorded on; what is left out is recognised.

    Numbers are read as they are typed at a form: with a decimal comma or point, pressures with a unit of their own.
    """

    delimiter: Asked = None
    decimal: Asked = None
    time_column: Asked = None
    rate_hz: Asked = None
    pressure_column: Asked = None
    pressure_unit: Asked = None
    temperature_column: Asked = None
    volume_cm3: Asked = None
    bulk_modulus_gpa: Asked = None
    bar_per_kelvin: Asked = None


class TraceQuery(TraceReading):
    """What a person says of the file, of the rig and of the plan; whatever is left out is recognised or not judged.

    Numbers are read as they are typed at a form: with a decimal comma or point, pressures with a unit of their own.
    """

    lower_bar: Asked = None
    upper_bar: Asked = None
    spread_max_bar: Asked = None
    least_openings: Asked = None
    decay_max_bar_per_min: Asked = None
    gauge_uncertainty_bar: Asked = None


class TraceOpeningAnswer(Answer):
    """One opening: s and bar; the standard uncertainty is that of the line of its rise."""

    t_s: float
    opening_bar: float
    closing_bar: float
    drop_bar: float
    drop_s: float
    standard_uncertainty_bar: float


class TraceHoldAnswer(Answer):
    """One hold: its rate is positive where the pressure falls, 95 % interval; the leak is null without a rig."""

    start_s: float
    end_s: float
    rate_bar_per_min: float
    interval: Pair
    steady_from_s: float
    mean_bar: float
    uncorrected_bar_per_min: float
    temperature: str
    bends: bool
    leak_mm3_per_s: float | None
    leak_interval: Pair | None


class TraceFactAnswer(Answer):
    """One thing that was recognised in the file."""

    what: str
    recognised: str


class TraceFindingAnswer(Answer):
    """The verdict on one thing that the plan asks."""

    what: str
    verdict: Annotated[str, Field(pattern=f"^({_VERDICTS})$")]
    sentence: str


class TraceAnswer(Answer):
    """Openings with mean, spread (highest less lowest) and uncertainty; holds; verdicts; how the file was read."""

    openings: list[TraceOpeningAnswer]
    opening_mean_bar: float | None
    opening_spread_bar: float | None
    opening_standard_deviation_bar: float | None
    opening_standard_uncertainty_bar: float | None
    opening_interval: Pair | None
    holds: list[TraceHoldAnswer]
    verdicts: list[TraceFindingAnswer]
    recognised: list[TraceFactAnswer]
    rows: int
    remarks: list[str]


@router.post("/trace", operation_id="calculate_trace", responses=WRITES, openapi_extra=_FILE)
async def calculate_trace(
    request: Request, asked: Annotated[TraceQuery, Query()], actor: Actor = AtBench
) -> TraceAnswer:
    """Analyse a logger's CSV of up to 80 MB; nothing is stored."""
    content = await request.body()  # read only now: whoever may not ask has been turned away
    return await run_in_threadpool(_analysed, content, asked)


def _analysed(content: bytes, asked: TraceQuery) -> TraceAnswer:
    # NumPy loads with the first trace that is analysed: the server starts without it.
    from service.hydraulics.trace.answer import answer_of, find
    from service.hydraulics.trace.asked import asked_of

    texts = {name: text for name, text in asked.model_dump().items() if text is not None}
    return TraceAnswer.model_validate(answer_of(find(content, asked_of(texts))))
