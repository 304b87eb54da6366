"""The pressure traces of one step of a run, and keeping another."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.bench_traces import keep_trace
from service.actions.looking_at_traces import look_at_traces
from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.pages.bench_traces.places import (
    DECIMALS,
    DELIMITERS,
    READING,
    UNITS,
    asked_in,
    trace_address,
    traces_address,
)
from service.pages.choices import Option
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.overhauls.head import OverhaulHead, overhaul_head
from service.pages.overhauls.proving_view import step_address
from service.pages.overhauls.small_forms import Link, PageForms, Refusal, SmallForm, attempt
from service.pages.rendering import Frame, minute, see_other
from service.pages.typed_forms import Typed, TypedForm
from service.records.bench_trace_reads import KeptTrace
from service.workshop.run_traces import check_traceable

router = APIRouter()


@dataclass(frozen=True)
class TraceLine:
    """One trace in the list."""

    href: str
    label: str
    by: str
    size: str
    state: str


@dataclass(frozen=True)
class StepTracesPage:
    """The traces of a step; `closed` says why none is taken any more, '' where the form stands."""

    page: Frame
    head: OverhaulHead
    title: str
    back: Link
    lines: tuple[TraceLine, ...]
    form: SmallForm | None
    reading_open: bool
    delimiters: tuple[Option, ...]
    decimals: tuple[Option, ...]
    units: tuple[Option, ...]
    closed: str


@router.get("/overhauls/{number}/bench-runs/{run}/steps/{step}/traces")
def show_traces(request: Request, number: str, run: int, step: str, actor: Actor = AtBench) -> Response:
    """What is kept, and the form."""
    return _page(request, actor, (number, run, step), None)


# The guard stands first: nobody who does not work at the bench has the body read.
@router.post("/overhauls/{number}/bench-runs/{run}/steps/{step}/traces")
def send_trace(
    request: Request, number: str, run: int, step: str, actor: Actor = AtBench, typed: Typed = TypedForm
) -> Response:
    """Keep a logger's file, then show what was recognised in it."""
    made: list[int] = []
    refusal = attempt(
        lambda: made.append(
            keep_trace(
                shop_of(request),
                actor,
                number,
                form_key=typed.text("form_key"),
                run=run,
                step=step,
                content=typed.files.get("file", b""),
                asked=asked_in(typed),
            )
        ),
        "keep",
        typed,
    )
    if refusal is not None:
        return _page(request, actor, (number, run, step), refusal)
    return see_other(trace_address(f"/overhauls/{number}", made[0]), request)


def _page(request: Request, actor: Actor, place: tuple[str, int, str], refusal: Refusal | None) -> Response:
    number, run, step = place
    found = look_at_traces(shop_of(request), actor, number, run, step)
    loaded, head = found.loaded, overhaul_head(found.loaded, "/proving")
    closed = ""
    try:
        check_traceable(loaded.record, run, found.step)
    except DomainError as error:
        closed = error.sentence
    forms = PageForms(loaded.record.last_seq, refusal)
    form = None if closed else forms.form("keep", traces_address(head.address, run, step))
    typed = {} if form is None else {**form.state.values, **form.state.errors}
    context = StepTracesPage(
        page=renderer_of(request).frame(f"Pressure traces of {loaded.unit.serial}", actor, "/board"),
        head=head,
        title=found.step.title,
        back=Link(step_address(head.address, run, step), f"Back to the step: {found.step.title}"),
        lines=tuple(_line(head.address, one) for one in found.kept),
        form=form,
        reading_open=any(typed.get(name) for name in READING),
        delimiters=DELIMITERS,
        decimals=DECIMALS,
        units=UNITS,
        closed=closed,
    )
    return renderer_of(request).page("bench_traces/of_step.html", context, forms.status)


def _line(address: str, kept: KeptTrace) -> TraceLine:
    out = len(kept.rejections)
    state = "confirmed" if kept.confirmed else "waits for confirmation"
    return TraceLine(
        href=trace_address(address, kept.id),
        label=f"Trace {kept.id}",
        by=f"{kept.person_name}, {minute(kept.recorded_at)}",
        size=f"{kept.size / 1_000_000:.1f} MB",
        state=f"{state}, {out} {'event' if out == 1 else 'events'} rejected" if out else state,
    )
