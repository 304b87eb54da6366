"""One step of a bench run a screen: do it, record it, see at once whether it passed."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.bench_testing import record_bench_step, why_paused
from service.actions.looking import look_at_overhaul, run_and_step
from service.actions.shop import Actor
from service.pages.choices import Option
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.overhauls.bench_words import in_date
from service.pages.overhauls.head import overhaul_head
from service.pages.overhauls.proving_view import step_address
from service.pages.overhauls.small_forms import PageForms, Refusal, attempt
from service.pages.overhauls.step_forms import result_of
from service.pages.overhauls.step_view import step_page
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import see_other, wants_fragment
from service.pages.typed_forms import Typed, TypedForm
from service.records.examination_reads import instruments_for
from service.workshop.test_plan import BackLeakageStep
from service.workshop.vocabulary import InstrumentKind

router = APIRouter()


@router.get("/overhauls/{number}/bench-runs/{run}/steps/{step}")
def show_step(request: Request, number: str, run: int, step: str, actor: Actor = AtBench) -> Response:
    """What to do at this step, or how it came out."""
    return _page(request, actor, number, (run, step), None)


@router.post("/overhauls/{number}/bench-runs/{run}/steps/{step}")
def record_step(
    request: Request, number: str, run: int, step: str, actor: Actor = AtBench, typed: Typed = TypedForm
) -> Response:
    """Record the step and show its verdict."""
    shop = shop_of(request)
    started, wanted = run_and_step(look_at_overhaul(shop, actor, number).record, run, step)
    refusal = attempt(
        lambda: record_bench_step(
            shop,
            actor,
            number,
            typed.form,
            run=run,
            step=step,
            result=result_of(wanted, typed, started.started.shown_unit),
            cylinder=typed.text("cylinder"),
        ),
        "step",
        typed,
    )
    if refusal is None and not wants_fragment(request):
        return see_other(step_address(f"/overhauls/{number}", run, step), request)
    return _page(request, actor, number, (run, step), refusal)


def _page(request: Request, actor: Actor, number: str, place: tuple[int, str], refusal: Refusal | None) -> Response:
    shop = shop_of(request)
    loaded = look_at_overhaul(shop, actor, number)
    run, step = run_and_step(loaded.record, *place)
    forms = PageForms(loaded.record.last_seq, refusal)
    frame = renderer_of(request).frame(f"{step.title}: {loaded.unit.serial}", actor, "/board")
    cylinders: tuple[Option, ...] = ()
    if isinstance(step, BackLeakageStep):
        kinds = (InstrumentKind.MEASURING_CYLINDER,)
        cylinders = in_date(instruments_for(shop.store, kinds, "ml", shop.today))
    paused = why_paused(shop, loaded.record, run.number)
    context = step_page(frame, overhaul_head(loaded, "/proving"), loaded, run, step, cylinders, forms, paused)
    return whole_or_part(request, "overhauls/step", context, forms.status)
