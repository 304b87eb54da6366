"""One pressure trace of a bench run: what it shows, confirming how it is read, rejecting what was detected."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.bench_traces import confirm_trace, reject_event
from service.actions.looking_at_traces import look_at_trace
from service.actions.shop import Actor, Refused
from service.documents.trace_stretches import Window
from service.hydraulics.trace.accepted import EventAt, EventKind
from service.metrology.errors import DomainError
from service.pages.bench_traces.places import asked_in, trace_address
from service.pages.bench_traces.plot_view import WINDOW
from service.pages.bench_traces.trace_view import plot_part, trace_page
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.overhauls.small_forms import PageForms, Refusal, attempt
from service.pages.rendering import see_other, wants_fragment
from service.pages.typed_forms import Typed, TypedForm

router = APIRouter()


@router.get("/overhauls/{number}/bench-traces/{trace_id}")
def show_bench_trace(
    request: Request, number: str, trace_id: int, from_s: str = "", to_s: str = "", actor: Actor = AtBench
) -> Response:
    """What the trace shows; the plot from one time to another where they are asked, and only that for htmx."""
    typed = Typed({"from_s": (from_s,), "to_s": (to_s,)}, {})
    error = None
    window: Window = (None, None)
    try:
        window = _window(typed)
    except DomainError as refusal:
        error = Refusal(WINDOW, typed, refusal)
    return _page(request, actor, number, trace_id, error, window)


@router.get("/overhauls/{number}/bench-traces/{trace_id}/file")
def read_trace_file(request: Request, number: str, trace_id: int, actor: Actor = AtBench) -> Response:
    """The bytes as the logger sent them."""
    trace, _ = look_at_trace(shop_of(request), actor, number, trace_id)
    name = f"{number}-trace-{trace_id}.csv"
    headers = {"Content-Disposition": f'attachment; filename="{name}"', "Cache-Control": "private, no-store"}
    return Response(trace.content, media_type="application/octet-stream", headers=headers)


@router.post("/overhauls/{number}/bench-traces/{trace_id}/readings")
def confirm_reading(
    request: Request, number: str, trace_id: int, actor: Actor = AtBench, typed: Typed = TypedForm
) -> Response:
    """Confirm or correct how the file is read."""
    refusal = attempt(
        lambda: confirm_trace(
            shop_of(request), actor, number, trace_id, form_key=typed.text("form_key"), asked=asked_in(typed)
        ),
        "read",
        typed,
    )
    return _done(request, actor, number, trace_id, refusal)


@router.post("/overhauls/{number}/bench-traces/{trace_id}/rejections")
def reject(request: Request, number: str, trace_id: int, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Reject one detected event with a reason."""
    refusal = attempt(
        lambda: reject_event(
            shop_of(request),
            actor,
            number,
            trace_id,
            form_key=typed.text("form_key"),
            event=_event(typed),
            reason=typed.text("reason"),
        ),
        f"reject-{typed.text('event')}-{typed.text('at_s')}"[:60],
        typed,
    )
    return _done(request, actor, number, trace_id, refusal)


def _event(typed: Typed) -> EventAt:
    return EventAt(typed.choice("event", EventKind, "The event"), typed.quantity("at_s", "s"))


def _window(typed: Typed) -> Window:
    start, end = (float(typed.quantity(name, "s")) if typed.text(name) else None for name in ("from_s", "to_s"))
    if start is not None and end is not None and start >= end:
        raise Refused("window", "The plot ends before it begins: exchange the two times.", "to_s")
    return start, end


def _done(request: Request, actor: Actor, number: str, trace_id: int, refusal: Refusal | None) -> Response:
    if refusal is None:
        return see_other(trace_address(f"/overhauls/{number}", trace_id), request)
    return _page(request, actor, number, trace_id, refusal, (None, None))


def _page(
    request: Request, actor: Actor, number: str, trace_id: int, refusal: Refusal | None, window: Window
) -> Response:
    trace, rule = look_at_trace(shop_of(request), actor, number, trace_id)
    forms = PageForms(trace.loaded.record.last_seq, refusal)
    if request.method == "GET" and wants_fragment(request):
        part = plot_part(trace, forms, window)
        return _vary(renderer_of(request).page("bench_traces/_plot.html", part, forms.status))
    frame = renderer_of(request).frame(f"Pressure trace of {trace.loaded.unit.serial}", actor, "/board")
    context = trace_page(frame, trace, rule, forms, window)
    return _vary(renderer_of(request).page("bench_traces/trace.html", context, forms.status))


def _vary(answer: Response) -> Response:
    answer.headers["Vary"] = "HX-Request, HX-Request-Type"
    return answer
