"""The first step of receiving: which vessel sent it. Chosen from the register, or by its IMO number."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor, Refused
from service.metrology.errors import DomainError
from service.pages.choices import Option
from service.pages.consignments.receiving import receiving_page
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.rendering import FormState, Frame, see_other
from service.records.receiving_reads import RegisteredVessel, registered_vessels, vessel_with_imo
from service.records.store import Store
from service.workshop.imo_number import imo_number

router = APIRouter()


@dataclass(frozen=True)
class ChoosingVesselPage:
    """Which vessel the consignment is from."""

    page: Frame
    form: FormState
    vessels: tuple[Option, ...]


@router.get("/consignments/new")
def new_consignment(
    request: Request, vessel: str | None = None, imo: str | None = None, actor: Actor = AtBench
) -> Response:
    """Ask for the vessel, then for what it sent: the address of the second step is `?imo=…` alone."""
    if vessel is None and imo is None:
        return _ask(request, actor, FormState())
    try:
        found = _vessel(shop_of(request).store, (vessel or "").strip(), (imo or "").strip())
    except DomainError as error:
        typed = FormState({"vessel": vessel or "", "imo": imo or ""}, {error.field or "imo": error.sentence})
        return _ask(request, actor, typed, 422)
    if vessel is not None or imo != found.imo_number:
        return see_other(f"/consignments/new?imo={found.imo_number}")
    return receiving_page(request, actor, found)


def _vessel(store: Store, chosen: str, typed: str) -> RegisteredVessel:
    """The one vessel meant. Raises Refused or ImoNumberError beside the field concerned."""
    if chosen and typed and chosen != typed:
        raise Refused("vessel-twice", "Choose the vessel or type its IMO number, not both.", "imo")
    if not chosen and not typed:
        raise Refused("no-vessel", "Choose the vessel, or type its IMO number below.", "vessel")
    try:
        number = imo_number(chosen or typed)
    except DomainError as error:
        raise Refused(error.code, error.sentence, "imo") from error
    found = vessel_with_imo(store, number)
    if found is None:
        raise Refused("no-vessel", f"No vessel with IMO {number} is registered: a manager adds it first.", "imo")
    return found


def _ask(request: Request, actor: Actor, form: FormState, status: int = 200) -> Response:
    renderer = renderer_of(request)
    context = ChoosingVesselPage(
        page=renderer.frame("Receive a consignment", actor, "/consignments/new"),
        form=form,
        vessels=tuple(
            Option(one.imo_number, f"{one.name}, IMO {one.imo_number}")
            for one in registered_vessels(shop_of(request).store)
        ),
    )
    return renderer.page("consignments/choosing_vessel.html", context, status)
