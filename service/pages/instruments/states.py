"""Putting an instrument into quarantine, releasing it, withdrawing it; always with a reason."""

from collections.abc import Callable

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.instruments import quarantine_instrument, release_instrument, withdraw_instrument
from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.pages.guards import AtBench, shop_of
from service.pages.instruments.instrument_view import SmallForms, instrument_page
from service.pages.instruments.places import history_of, place_of
from service.pages.refused_form import seen_again, status_of_form
from service.pages.rendering import see_other
from service.pages.typed_forms import Typed, TypedForm
from service.workshop.calibration import InstrumentState

router = APIRouter(prefix="/instruments")

ACTIONS: dict[InstrumentState, Callable[..., None]] = {
    InstrumentState.QUARANTINED: quarantine_instrument,
    InstrumentState.IN_USE: release_instrument,
    InstrumentState.WITHDRAWN: withdraw_instrument,
}
"""What is done to bring an instrument into a state; each action asks for its role."""


@router.post("/{code:path}/state")
def change_state(request: Request, code: str, actor: Actor = AtBench, typed: Typed = TypedForm) -> Response:
    """Do what was chosen."""
    shop = shop_of(request)
    found = history_of(shop, code)
    try:
        act = ACTIONS[typed.choice("state", InstrumentState, "What happens to it")]
        act(shop, actor, code=found.row.code, reason=typed.text("reason"), version=typed.version)
    except DomainError as error:
        return instrument_page(
            request,
            actor,
            found,
            SmallForms(state=typed.shown(error)),
            seen=seen_again(typed, error, found.row.version),
            status=status_of_form(error),
        )
    return see_other(place_of(found.row.code), request)
