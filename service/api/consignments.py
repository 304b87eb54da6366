"""Consignments: what arrived from one vessel."""

from datetime import date, datetime
from typing import Annotated

from fastapi import APIRouter, Response
from pydantic import Field

from service.actions.receiving import InjectorReceived, receive_consignment
from service.actions.shop import Actor, NotFound, Shop
from service.actions.summarising import summarise_consignment
from service.api.bodies import Answer, Body, Count, FormKey, InPath, Name, Text
from service.api.description import PDF, READS, WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, Caller, TheShop
from service.records.api_reads import consignment_lines, consignment_row
from service.workshop.vocabulary import Fuel, Packing, SendReason, Stage

router = APIRouter(prefix="/consignments", tags=["consignments"], route_class=ExactRoute)


class InjectorBody(Body):
    """One injector as it is identified on arrival."""

    serial: Name
    engine_id: Count
    cylinder: Count
    position: Name = ""
    running_hours: Annotated[int, Field(strict=True, ge=-1_000_000_000, le=1_000_000_000)] | None = None
    fuel: Fuel
    reason: SendReason
    packing: Packing
    remark: Text = ""


class ConsignmentBody(Body):
    """Several injectors from one vessel, known by its IMO number."""

    form_key: FormKey
    imo_number: Name
    due_on: date
    reference: Name = ""
    remark: Text = ""
    injectors: Annotated[list[InjectorBody], Field(max_length=100)]


class ConsignmentReceipt(Answer):
    """The numbers given, the overhauls in the order of the injectors."""

    number: str
    overhauls: list[str]


class ConsignmentOverhaul(Answer):
    """One overhaul of a consignment."""

    number: str
    serial: str
    injector_type: str
    stage: Stage
    held: bool


class ConsignmentAnswer(Answer):
    """A consignment and what became of each injector."""

    number: str
    vessel: str
    imo_number: str
    received_at: datetime
    due_on: date
    reference: str
    remark: str
    overhauls: list[ConsignmentOverhaul]


@router.post("", status_code=201, operation_id="receive_consignment", responses=WRITES)
def receive(
    body: ConsignmentBody, response: Response, actor: Actor = AtBench, shop: Shop = TheShop
) -> ConsignmentReceipt:
    """Open one overhaul for each injector, all or none."""
    received = receive_consignment(
        shop,
        actor,
        imo=body.imo_number,
        due_on=body.due_on,
        injectors=tuple(InjectorReceived(**injector.model_dump()) for injector in body.injectors),
        reference=body.reference,
        remark=body.remark,
        form_key=body.form_key,
    )
    response.headers["Location"] = f"/api/v1/consignments/{received.number}"
    return ConsignmentReceipt(number=received.number, overhauls=list(received.overhauls))


@router.get("/{number}", operation_id="read_consignment", responses=READS)
def read(number: InPath, actor: Actor = Caller, shop: Shop = TheShop) -> ConsignmentAnswer:
    """The consignment and its overhauls."""
    with shop.store.reading() as session:
        found = consignment_row(session, actor.fleet, number)
        if found is None:
            raise NotFound("no-consignment", f"There is no consignment {number}.")
        lines = consignment_lines(session, actor.fleet, number)
    consignment, vessel = found
    return ConsignmentAnswer(
        number=consignment.number,
        vessel=vessel.name,
        imo_number=vessel.imo_number,
        received_at=consignment.received_at,
        due_on=consignment.due_on,
        reference=consignment.reference,
        remark=consignment.remark,
        overhauls=[ConsignmentOverhaul.model_validate(line) for line in lines],
    )


@router.get(
    "/{number}/summary",
    operation_id="read_consignment_summary",
    response_class=Response,
    responses={**READS, **PDF},
)
def read_summary(number: InPath, actor: Actor = Caller, shop: Shop = TheShop) -> Response:
    """One sheet for the whole consignment as it stands now, a PDF signed by the workshop."""
    return Response(summarise_consignment(shop, actor, number), media_type="application/pdf")
