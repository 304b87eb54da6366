"""Settling the parts: what the rules propose, what the technician settles, what a manager concedes."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.looking import look_at_overhaul
from service.actions.settling import decide_concession, settle_as_proposed, settle_part
from service.actions.shop import Actor, Refused
from service.pages.guards import AtBench, Manager, renderer_of, shop_of
from service.pages.overhauls.head import overhaul_head
from service.pages.overhauls.seat_view import seats_shown
from service.pages.overhauls.settlement_view import settlement_page
from service.pages.overhauls.small_forms import PageForms, Refusal, attempt
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import see_other, wants_fragment
from service.pages.typed_forms import Typed, TypedForm
from service.workshop.vocabulary import Disposition

router = APIRouter()


@router.get("/overhauls/{number}/settlement")
def show_settlement(request: Request, number: str, actor: Actor = AtBench) -> Response:
    """Every part with its proposal, and what is still open."""
    return _page(request, actor, number, None)


@router.post("/overhauls/{number}/settlements")
def settle(request: Request, number: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Settle one part."""
    part = typed.text("part")
    refusal = attempt(
        lambda: settle_part(
            shop_of(request),
            actor,
            number,
            typed.form,
            part=part,
            chosen=typed.choice("chosen", Disposition, "What happens to the part"),
            reason=typed.text("reason"),
        ),
        f"part-{part}",
        typed,
    )
    return _answer(request, actor, number, refusal)


@router.post("/overhauls/{number}/settlements/as-proposed")
def settle_the_rest(request: Request, number: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Settle every part that is examined and open as the rules propose."""
    refusal = attempt(lambda: settle_as_proposed(shop_of(request), actor, number, typed.form), "as-proposed", typed)
    return _answer(request, actor, number, refusal)


@router.post("/overhauls/{number}/concessions")
def decide(request: Request, number: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Grant or refuse the concession that a milder settlement needs."""
    part = typed.text("part")
    refusal = attempt(
        lambda: decide_concession(
            shop_of(request),
            actor,
            number,
            typed.form,
            part=part,
            granted=_granted(typed),
            reason=typed.text("reason"),
            password=typed.password,
        ),
        f"concession-{part}",
        typed,
    )
    return _answer(request, actor, number, refusal)


def _granted(typed: Typed) -> bool:
    decision = typed.text("decision")
    if decision not in ("granted", "refused"):
        raise Refused("decision-missing", "Choose: grant the concession or refuse it.", "decision")
    return decision == "granted"


def _answer(request: Request, actor: Actor, number: str, refusal: Refusal | None) -> Response:
    if refusal is None and not wants_fragment(request):
        return see_other(f"/overhauls/{number}/settlement", request)
    return _page(request, actor, number, refusal)


def _page(request: Request, actor: Actor, number: str, refusal: Refusal | None) -> Response:
    loaded = look_at_overhaul(shop_of(request), actor, number)
    forms = PageForms(loaded.record.last_seq, refusal)
    frame = renderer_of(request).frame(f"Settle {loaded.unit.serial}", actor, "/board")
    seats = seats_shown(shop_of(request).store, loaded)
    context = settlement_page(frame, overhaul_head(loaded, "/settlement"), loaded, seats, actor, forms)
    return whole_or_part(request, "overhauls/settlement", context, forms.status)
