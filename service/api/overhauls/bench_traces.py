"""Pressure traces of bench runs: a logger's bytes kept and appended to, what they show, confirming and rejecting."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response
from fastapi.concurrency import run_in_threadpool
from pydantic import Field

from service.actions.bench_traces import append_to_trace, confirm_trace, keep_trace, reject_event
from service.actions.looking_at_traces import look_at_trace, look_at_traces
from service.actions.shop import Actor, Shop
from service.api.bodies import Answer, Body, FormKey, IdInPath, InPath, Text
from service.api.calculations.trace import TraceAnswer, TraceReading
from service.api.description import READS, WRITES
from service.api.guards import AtBench, TheShop
from service.hydraulics.trace.accepted import EventAt, EventKind
from service.metrology.typed_numbers import parse_decimal
from service.records.bench_trace_reads import KeptTrace

router = APIRouter(prefix="/overhauls/{number}", tags=["overhauls"])
_BYTES = {"schema": {"type": "string", "format": "binary"}}
_FILE = {"requestBody": {"required": True, "content": {"application/octet-stream": _BYTES}}}


class TraceReadingBody(TraceReading):
    """How a file is read, and the rig it was recorded on; what is left out is recognised."""

    form_key: FormKey

    @property
    def asked(self) -> dict[str, str]:
        """For the action."""
        return {name: text for name, text in self.model_dump(exclude={"form_key"}).items() if text is not None}


class TracePieceQuery(Body):
    """The key of the form that sends one piece."""

    form_key: FormKey


class RejectionBody(Body):
    """An event by its kind and a time in it: that of the opening, or one within the hold."""

    form_key: FormKey
    event: EventKind
    at_s: Annotated[str, Field(max_length=40)]
    reason: Text


class TraceKept(Answer):
    """The number of the trace."""

    id: int


class TraceGrown(Answer):
    """How many bytes the trace has now."""

    size: int


class RejectionAnswer(Answer):
    """An event that counts no more."""

    event: EventKind
    at_s: float
    reason: str
    person_name: str
    recorded_at: datetime


class BenchTraceAnswer(Answer):
    """One trace; `confirmed_by` is null until somebody has confirmed how it is read."""

    id: int
    run: int
    step: str
    size: int
    person_name: str
    recorded_at: datetime
    confirmed_by: str | None
    rejections: list[RejectionAnswer]


class BenchTraceList(Answer):
    """The traces of a step, oldest first."""

    items: list[BenchTraceAnswer]


class BenchTraceShown(Answer):
    """A trace with what it shows: in `shown` only the events that are not rejected count."""

    kept: BenchTraceAnswer
    shown: TraceAnswer


@router.get("/bench-runs/{run}/steps/{step}/traces", operation_id="list_bench_traces", responses=READS)
def list_traces(
    number: InPath, run: IdInPath, step: InPath, actor: Actor = AtBench, shop: Shop = TheShop
) -> BenchTraceList:
    """The traces kept at one step of one run."""
    found = look_at_traces(shop, actor, number, run, step)
    return BenchTraceList(items=[_kept(one) for one in found.kept])


@router.post(
    "/bench-runs/{run}/steps/{step}/traces",
    status_code=201,
    operation_id="keep_bench_trace",
    responses=WRITES,
    openapi_extra=_FILE,
)
async def send_trace(
    request: Request,
    number: InPath,
    run: IdInPath,
    step: InPath,
    told: Annotated[TraceReadingBody, Query()],
    actor: Actor = AtBench,
    shop: Shop = TheShop,
) -> TraceKept:
    """Keep a logger's CSV of up to 80 MB at the opening pressure or the seat tightness; more may be appended to it."""
    content = await request.body()  # read only now: whoever may not keep traces has been turned away
    made = await run_in_threadpool(
        keep_trace,
        shop,
        actor,
        number,
        form_key=told.form_key,
        run=run,
        step=step,
        content=content,
        asked=told.asked,
    )
    return TraceKept(id=made)


@router.post(
    "/bench-traces/{trace_id}/pieces",
    status_code=201,
    operation_id="append_to_bench_trace",
    responses=WRITES,
    openapi_extra=_FILE,
)
async def send_piece(
    request: Request,
    number: InPath,
    trace_id: IdInPath,
    told: Annotated[TracePieceQuery, Query()],
    actor: Actor = AtBench,
    shop: Shop = TheShop,
) -> TraceGrown:
    """Append what the logger wrote since, while the run goes on: until the step is recorded or the trace confirmed."""
    content = await request.body()
    size = await run_in_threadpool(
        append_to_trace, shop, actor, number, trace_id, form_key=told.form_key, content=content
    )
    return TraceGrown(size=size)


@router.get("/bench-traces/{trace_id}", operation_id="read_bench_trace", responses=READS)
def read_trace(number: InPath, trace_id: IdInPath, actor: Actor = AtBench, shop: Shop = TheShop) -> BenchTraceShown:
    """What the trace shows, judged from the events that are not rejected."""
    from service.hydraulics.trace.answer import TraceFound, answer_of

    trace, _ = look_at_trace(shop, actor, number, trace_id)
    found = trace.analysed()
    counted = TraceFound(found.recognised, trace.accepted(found), ())
    return BenchTraceShown(kept=_kept(trace.kept), shown=TraceAnswer.model_validate(answer_of(counted)))


@router.get(
    "/bench-traces/{trace_id}/file",
    operation_id="read_bench_trace_file",
    response_class=Response,
    responses={**READS, 200: {"content": {"application/octet-stream": _BYTES}}},
)
def read_file(number: InPath, trace_id: IdInPath, actor: Actor = AtBench, shop: Shop = TheShop) -> Response:
    """The bytes as the logger sent them, all pieces together."""
    trace, _ = look_at_trace(shop, actor, number, trace_id)
    return Response(trace.content, media_type="application/octet-stream")


@router.post("/bench-traces/{trace_id}/readings", status_code=201, operation_id="confirm_bench_trace", responses=WRITES)
def confirm(
    number: InPath, trace_id: IdInPath, body: TraceReadingBody, actor: Actor = AtBench, shop: Shop = TheShop
) -> BenchTraceAnswer:
    """Confirm how the file is read, or correct it; the newest is in force."""
    confirm_trace(shop, actor, number, trace_id, form_key=body.form_key, asked=body.asked)
    return _kept(look_at_trace(shop, actor, number, trace_id)[0].kept)


@router.post(
    "/bench-traces/{trace_id}/rejections", status_code=201, operation_id="reject_trace_event", responses=WRITES
)
def reject(
    number: InPath, trace_id: IdInPath, body: RejectionBody, actor: Actor = AtBench, shop: Shop = TheShop
) -> BenchTraceAnswer:
    """Reject a detected event with a reason. No event can be added."""
    event = EventAt(body.event, parse_decimal(body.at_s, "at_s"))
    reject_event(shop, actor, number, trace_id, form_key=body.form_key, event=event, reason=body.reason)
    return _kept(look_at_trace(shop, actor, number, trace_id)[0].kept)


def _kept(kept: KeptTrace) -> BenchTraceAnswer:
    return BenchTraceAnswer(
        id=kept.id,
        run=kept.run,
        step=kept.step,
        size=kept.size,
        person_name=kept.person_name,
        recorded_at=kept.recorded_at,
        confirmed_by=None if kept.confirmed is None else kept.confirmed.person_name,
        rejections=[
            RejectionAnswer(
                event=one.event.kind,
                at_s=float(one.event.at_s),
                reason=one.reason,
                person_name=one.person_name,
                recorded_at=one.recorded_at,
            )
            for one in kept.rejections
        ],
    )
