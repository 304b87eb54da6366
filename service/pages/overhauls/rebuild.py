"""Rework, new parts, torques, adjusting discs, reopening."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.looking import look_at_overhaul
from service.actions.rebuilding import change_discs, fit_part, record_rework, record_torque, reopen
from service.actions.setting_pressure import setting_of
from service.actions.shop import Actor
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.overhauls.bench_words import in_date
from service.pages.overhauls.head import overhaul_head
from service.pages.overhauls.rebuild_view import SettingShown, rebuild_page
from service.pages.overhauls.seat_view import seats_shown
from service.pages.overhauls.setting_view import chosen_discs, drawer_of, setting_card
from service.pages.overhauls.small_forms import PageForms, Refusal, attempt
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import see_other, wants_fragment
from service.pages.typed_forms import Typed, TypedForm
from service.records.examination_reads import instruments_for
from service.workshop.vocabulary import InstrumentKind

router = APIRouter()


@router.get("/overhauls/{number}/rebuild")
def show_rebuild(request: Request, number: str, actor: Actor = AtBench) -> Response:
    """Every task of the rebuild, done or open."""
    return _page(request, actor, number, None)


@router.post("/overhauls/{number}/reworks")
def rework(request: Request, number: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Record what was done to one part."""
    shop, part = shop_of(request), typed.text("key")
    refusal = attempt(
        lambda: record_rework(shop, actor, number, typed.form, part=part, method=typed.text("method")),
        f"task-rework-{part}",
        typed,
    )
    return _answer(request, actor, number, refusal)


@router.post("/overhauls/{number}/fittings")
def fit(request: Request, number: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Record one new part, assembly or seal."""
    shop, item = shop_of(request), typed.text("key")
    refusal = attempt(
        lambda: fit_part(shop, actor, number, typed.form, item=item, batch=typed.text("batch")),
        f"task-fit-{item}",
        typed,
    )
    return _answer(request, actor, number, refusal)


@router.post("/overhauls/{number}/torques")
def tighten(request: Request, number: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Record one thread tightened."""
    shop, point = shop_of(request), typed.text("key")
    refusal = attempt(
        lambda: record_torque(
            shop,
            actor,
            number,
            typed.form,
            point=point,
            value=typed.quantity("value", "N·m"),
            wrench=typed.text("wrench"),
        ),
        f"task-torque-{point}",
        typed,
    )
    return _answer(request, actor, number, refusal)


@router.post("/overhauls/{number}/disc-changes")
def change_the_discs(request: Request, number: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Record adjusting discs added or taken out."""
    shop = shop_of(request)
    refusal = attempt(
        lambda: change_discs(
            shop,
            actor,
            number,
            typed.form,
            added=typed.quantities("added", "mm"),
            removed=typed.quantities("removed", "mm"),
            reason=typed.text("reason"),
        ),
        "discs",
        typed,
    )
    return _answer(request, actor, number, refusal)


@router.post("/overhauls/{number}/reopenings")
def open_again(request: Request, number: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Record that a rebuilt injector is opened again."""
    shop = shop_of(request)
    refusal = attempt(lambda: reopen(shop, actor, number, typed.form, reason=typed.text("reason")), "reopening", typed)
    return _answer(request, actor, number, refusal)


def _answer(request: Request, actor: Actor, number: str, refusal: Refusal | None) -> Response:
    if refusal is None and not wants_fragment(request):
        return see_other(f"/overhauls/{number}/rebuild", request)
    return _page(request, actor, number, refusal)


def _page(request: Request, actor: Actor, number: str, refusal: Refusal | None) -> Response:
    shop = shop_of(request)
    loaded = look_at_overhaul(shop, actor, number)
    wrenches = in_date(instruments_for(shop.store, (InstrumentKind.TORQUE_WRENCH,), "N·m", shop.today))
    forms = PageForms(loaded.record.last_seq, refusal)
    frame = renderer_of(request).frame(f"Rebuild {loaded.unit.serial}", actor, "/board")
    seats = seats_shown(shop.store, loaded)
    plan, drawer = loaded.record.sheet.test_plan, drawer_of(request)
    found = setting_of(shop, loaded, drawer.absent_mm(plan))
    setting = SettingShown(
        setting_card(found, plan, drawer, f"/overhauls/{number}/rebuild"), chosen_discs(found, drawer)
    )
    context = rebuild_page(frame, overhaul_head(loaded, "/rebuild"), loaded, wrenches, seats, setting, forms)
    return whole_or_part(request, "overhauls/rebuild", context, forms.status)
