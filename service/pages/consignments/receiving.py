"""The second step of receiving: the injectors of one consignment, row by row."""

from dataclasses import dataclass, replace

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.receiving import ConsignmentReceived, OpenAlready, receive_consignment
from service.actions.shop import Actor, NotFound, status_of
from service.metrology.errors import DomainError
from service.pages.choices import Option, options_of
from service.pages.consignments.injector_rows import (
    InjectorRow,
    Problems,
    injectors_typed,
    row_count,
    with_one_more,
    without_row,
)
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame, new_form_key, see_other
from service.pages.typed_forms import Typed, TypedForm
from service.records.receiving_reads import EngineOnBoard, RegisteredVessel, engines_on_board, vessel_with_imo
from service.workshop.vocabulary import Fuel, Packing, SendReason

router = APIRouter()


@dataclass(frozen=True)
class ReceivingPage:
    """What the vessel sent: when it is due, and one row for each injector."""

    page: Frame
    form: FormState
    form_key: str
    vessel: RegisteredVessel
    rows: tuple[InjectorRow, ...]
    engines: tuple[Option, ...]
    fuels: tuple[Option, ...]
    reasons: tuple[Option, ...]
    packings: tuple[Option, ...]


@router.post("/consignments")
def receive(request: Request, typed: Typed = TypedForm, actor: Actor = AtBench) -> Response:
    """Add or take away a row of the form, or receive the consignment."""
    shop = shop_of(request)
    vessel = vessel_with_imo(shop.store, typed.text("imo"))
    if vessel is None:
        raise NotFound("no-vessel", "That vessel is not registered: choose the vessel again.")
    count = row_count(typed)
    if typed.text("more"):
        more = with_one_more(typed, count) if typed.text("more") == "yes" else typed
        return receiving_page(request, actor, vessel, more.shown(), typed.text("form_key"))
    gone = typed.text("remove")
    if gone.isascii() and gone.isdigit() and int(gone) < count and count > 1:
        fewer = without_row(typed, count, int(gone))
        return receiving_page(request, actor, vessel, fewer.shown(), typed.text("form_key"))
    problems, open_at = Problems(), {}
    try:
        received = _received(request, actor, vessel, typed, count, problems)
    except DomainError as error:
        if isinstance(error, OpenAlready):
            open_at = {error.field or "": error.overhaul}
        form = typed.shown(error)
        return receiving_page(request, actor, vessel, form, typed.text("form_key"), open_at, status_of(error))
    if received is None:
        form = replace(typed.shown(), errors=problems.errors)
        return receiving_page(request, actor, vessel, form, typed.text("form_key"), status=422)
    return see_other(f"/consignments/{received.number}", request)


def _received(
    request: Request, actor: Actor, vessel: RegisteredVessel, typed: Typed, count: int, problems: Problems
) -> ConsignmentReceived | None:
    """The consignment, or None where a field could not be read."""
    due_on = problems.read(lambda: typed.day("due_on", "Promised for"))
    reference = problems.read(lambda: typed.text("reference"))
    remark = problems.read(lambda: typed.text("remark"))
    injectors = injectors_typed(typed, count, problems)
    if problems.errors or due_on is None:
        return None
    return receive_consignment(
        shop_of(request),
        actor,
        imo=vessel.imo_number,
        due_on=due_on,
        injectors=injectors,
        reference=reference or "",
        remark=remark or "",
        form_key=typed.form.key,
    )


def receiving_page(
    request: Request,
    actor: Actor,
    vessel: RegisteredVessel,
    form: FormState | None = None,
    form_key: str = "",
    open_at: dict[str, str] | None = None,
    status: int = 200,
) -> Response:
    """The form as it stands, whole or only its part; a new one without `form`."""
    renderer, shop = renderer_of(request), shop_of(request)
    engines = engines_on_board(shop.store, vessel.id)
    form = form or _empty(engines)
    names = [f"injectors.{place}" for place in range(int(str(form.values.get("rows", "1"))))]
    context = ReceivingPage(
        page=renderer.frame("Receive a consignment", actor, "/consignments/new"),
        form=form,
        form_key=form_key or new_form_key(),
        vessel=vessel,
        rows=tuple(
            InjectorRow(number, name, (open_at or {}).get(f"{name}.serial", ""))
            for number, name in enumerate(names, start=1)
        ),
        engines=tuple(Option(str(one.id), f"{one.designation}: {one.injector_type}") for one in engines),
        fuels=options_of(Fuel),
        reasons=options_of(SendReason),
        packings=options_of(Packing),
    )
    return whole_or_part(request, "consignments/receiving", context, status)


def _empty(engines: tuple[EngineOnBoard, ...]) -> FormState:
    """One row; a single engine is no question."""
    return FormState({"injectors.0.engine_id": str(engines[0].id)} if len(engines) == 1 else {})
