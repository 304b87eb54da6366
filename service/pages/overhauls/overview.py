"""Where an overhaul stands: the next thing to do, what blocks the release, what was recorded, hold and side exits."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.course import condemn, hold, lift_hold, return_unrepaired
from service.actions.looking import look_at_overhaul
from service.actions.recording import Recorded
from service.actions.shop import Actor
from service.pages.guards import AtBench, Manager, renderer_of, shop_of
from service.pages.overhauls.blocker_groups import BlockerGroup, blocker_groups
from service.pages.overhauls.head import OverhaulHead, overhaul_head
from service.pages.overhauls.overview_view import HistoryLine, NextStep, arrival_facts, history, what_next
from service.pages.overhauls.small_forms import Fact, PageForms, Refusal, SmallForm, attempt
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.photographs.panel import PhotographPanel, panel_of
from service.pages.rendering import FormState, Frame, see_other
from service.pages.typed_forms import Typed, TypedForm
from service.records.overhaul_store import LoadedOverhaul
from service.workshop.photographs import ARRIVAL
from service.workshop.release_gate import release_blockers
from service.workshop.vocabulary import Role

router = APIRouter()
_NEWEST = 8
"""So many entries of the history are seen at once; the earlier ones are one tap away."""


@dataclass(frozen=True)
class ReasonForm:
    """One of the decisions that need a reason: `mark` is its place on the page."""

    mark: str
    title: str
    note: str
    button: str
    kind: str
    form: SmallForm
    signed: bool = True
    """It asks for the password again."""
    open: bool = False
    """The next step leads here, so that it is not folded away."""


@dataclass(frozen=True)
class OverviewPage:
    """Where it stands."""

    page: Frame
    head: OverhaulHead
    unplaced: FormState
    next: NextStep
    blocking: int
    blockers: tuple[BlockerGroup, ...]
    decisions: tuple[ReasonForm, ...]
    arrival: tuple[Fact, ...]
    photographs: PhotographPanel
    history: tuple[HistoryLine, ...]
    earlier: tuple[HistoryLine, ...]


@router.get("/overhauls/{number}")
def show_overview(request: Request, number: str, actor: Actor = AtBench) -> Response:
    """Where it stands and what comes next."""
    return _page(request, actor, number, None)


@router.post("/overhauls/{number}/holds")
def do_hold(request: Request, number: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Stop everything on this injector."""
    return _decide(request, actor, number, typed, "hold", hold, password=typed.password)


@router.post("/overhauls/{number}/hold-lifts")
def do_lift(request: Request, number: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Let it go on."""
    return _decide(request, actor, number, typed, "lift", lift_hold, password=typed.password)


@router.post("/overhauls/{number}/returns")
def do_return(request: Request, number: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Send it back unrepaired."""
    return _decide(request, actor, number, typed, "return", return_unrepaired)


@router.post("/overhauls/{number}/condemnations")
def do_condemn(request: Request, number: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Scrap it for good."""
    return _decide(request, actor, number, typed, "condemn", condemn, password=typed.password)


def _decide(
    request: Request,
    actor: Actor,
    number: str,
    typed: Typed,
    form_id: str,
    action: Callable[..., Recorded],
    **signed: str,
) -> Response:
    refusal = attempt(
        lambda: action(shop_of(request), actor, number, typed.form, reason=typed.text("reason"), **signed),
        form_id,
        typed,
    )
    if refusal is None:
        return see_other(f"/overhauls/{number}", request)
    return _page(request, actor, number, refusal)


def _page(request: Request, actor: Actor, number: str, refusal: Refusal | None) -> Response:
    loaded = look_at_overhaul(shop_of(request), actor, number)
    groups = () if loaded.record.exit else blocker_groups(number, release_blockers(loaded.record), actor.role)
    lines = tuple(line for group in groups for line in group.lines)
    forms = PageForms(loaded.record.last_seq, refusal)
    mends = {line.place for line in lines if line.href}
    decisions = tuple(
        replace(one, open=one.mark in mends or one.form.refused) for one in _decisions(loaded, actor, forms)
    )
    told = history(loaded)
    context = OverviewPage(
        page=renderer_of(request).frame(f"{loaded.unit.serial}, {number}", actor, "/board"),
        head=overhaul_head(loaded, ""),
        unplaced=forms.unplaced,
        next=what_next(loaded, lines, actor.role),
        blocking=len(lines),
        blockers=groups,
        decisions=decisions,
        arrival=arrival_facts(loaded),
        photographs=panel_of(shop_of(request), actor, loaded, ARRIVAL, "overview"),
        history=told[:_NEWEST],
        earlier=told[_NEWEST:],
    )
    return whole_or_part(request, "overhauls/overview", context, forms.status)


def _decisions(loaded: LoadedOverhaul, actor: Actor, forms: PageForms) -> tuple[ReasonForm, ...]:
    """The decisions open to this person now."""
    if loaded.record.exit is not None:
        return ()
    address = f"/overhauls/{loaded.row.number}"
    manager, held = actor.role is Role.MANAGER, loaded.record.held is not None
    found = []
    if held and manager:
        note = "Work goes on where it stopped."
        found.append(ReasonForm("hold", "Lift the hold", note, "Lift the hold", "primary", _lift(forms, address)))
    if not held:
        note = "Nothing can be recorded until a manager lifts the hold."
        form = forms.form("hold", f"{address}/holds")
        found.append(ReasonForm("hold", "Hold this injector", note, "Hold it", "secondary", form))
    if manager and not held:
        back = forms.form("return", f"{address}/returns")
        note = "It goes back to the ship as it is. No certificate is issued."
        found.append(ReasonForm("return", "Return unrepaired", note, "Return it unrepaired", "danger", back, False))
        scrap = forms.form("condemn", f"{address}/condemnations")
        note = "It is scrapped for good: its serial is never received again."
        found.append(ReasonForm("exit", "Condemn", note, "Condemn it", "danger", scrap))
    return tuple(found)


def _lift(forms: PageForms, address: str) -> SmallForm:
    return forms.form("lift", f"{address}/hold-lifts")
