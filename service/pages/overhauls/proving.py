"""Runs on the test rig: what was tested, what counts, and starting the next."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.bench_testing import start_bench_run
from service.actions.looking import look_at_overhaul
from service.actions.setting_pressure import setting_of
from service.actions.shop import Actor, Shop
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.overhauls.head import overhaul_head
from service.pages.overhauls.proving_view import proving_page, step_address
from service.pages.overhauls.setting_view import drawer_of, setting_card
from service.pages.overhauls.small_forms import PageForms, Refusal, attempt
from service.pages.overhauls.start_choices import (
    IndicativeNotice,
    StartChoice,
    chosen,
    indicative_notices,
    start_choices,
)
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import see_other
from service.pages.typed_forms import Typed, TypedForm
from service.records.examination_reads import instruments_for
from service.records.rig_reads import known_rigs
from service.workshop.vocabulary import InstrumentKind, RunPurpose

router = APIRouter()


@router.get("/overhauls/{number}/proving")
def show_proving(request: Request, number: str, actor: Actor = AtBench) -> Response:
    """Every run, the newest first."""
    return _page(request, actor, number, None)


@router.post("/overhauls/{number}/bench-runs")
def start_run(request: Request, number: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Start a run and go to its first step."""
    shop = shop_of(request)
    runs: list[int] = []

    def start() -> None:
        gauge, rig = chosen(_choices(shop)[0], typed.text("gauge"))
        purpose = typed.choice("purpose", RunPurpose, "The kind of run")
        runs.append(start_bench_run(shop, actor, number, typed.form, purpose=purpose, gauge=gauge, rig=rig).seq)

    refusal = attempt(start, "start", typed)
    if refusal is not None:
        return _page(request, actor, number, refusal)
    first = look_at_overhaul(shop, actor, number).record.sheet.test_plan.steps[0]
    return see_other(step_address(f"/overhauls/{number}", runs[0], first.key), request)


def _page(request: Request, actor: Actor, number: str, refusal: Refusal | None) -> Response:
    shop = shop_of(request)
    loaded = look_at_overhaul(shop, actor, number)
    choices, notices = _choices(shop)
    forms = PageForms(loaded.record.last_seq, refusal)
    frame = renderer_of(request).frame(f"Prove {loaded.unit.serial}", actor, "/board")
    plan, drawer = loaded.record.sheet.test_plan, drawer_of(request)
    setting = setting_of(shop, loaded, drawer.absent_mm(plan))
    card = setting_card(setting, plan, drawer, f"/overhauls/{number}/proving")
    context = proving_page(frame, overhaul_head(loaded, "/proving"), loaded, choices, notices, card, forms)
    return whole_or_part(request, "overhauls/proving", context, forms.status)


def _choices(shop: Shop) -> tuple[tuple[StartChoice, ...], tuple[IndicativeNotice, ...]]:
    """What a run can be started with today, and with which of it the run would be indicative."""
    today = shop.today
    with shop.store.reading() as session:
        rigs = known_rigs(session, today)
    gauges = instruments_for(shop.store, (InstrumentKind.PRESSURE_GAUGE,), "bar", today)
    choices = start_choices(gauges, rigs)
    return choices, indicative_notices(choices, rigs, today)
