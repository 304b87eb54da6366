"""A consignment that arrived: what it brought and how far each injector is."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor, NotFound, Shop
from service.actions.summarising import summarise_consignment
from service.pages.guards import AtBench, SignedIn, renderer_of, shop_of
from service.pages.photographs.cards import PhotographCard, card_of
from service.pages.rendering import Frame, minute
from service.records.photograph_reads import arrival_photographs
from service.records.receiving_reads import ArrivedConsignment, ArrivedInjector, consignment_arrived

router = APIRouter()


@dataclass(frozen=True)
class Fact:
    """One line of a list of facts."""

    label: str
    value: str


@dataclass(frozen=True)
class InjectorLine:
    """One injector of the consignment."""

    href: str
    overhaul: str
    serial: str
    injector_type: str
    place: str
    stage: str
    held: bool
    label_href: str


@dataclass(frozen=True)
class ArrivalAlbum:
    """How one injector of the consignment came."""

    serial: str
    href: str
    cards: tuple[PhotographCard, ...]


@dataclass(frozen=True)
class ConsignmentPage:
    """What arrived from one vessel at one time."""

    page: Frame
    number: str
    summary_href: str
    facts: tuple[Fact, ...]
    injectors: tuple[InjectorLine, ...]
    photographs: tuple[ArrivalAlbum, ...]


@router.get("/consignments/{number}")
def show_consignment(request: Request, number: str, actor: Actor = AtBench) -> Response:
    """The consignment with its injectors, each with its tray label."""
    found = consignment_arrived(shop_of(request).store, number)
    if found is None:
        raise NotFound("no-consignment", f"There is no consignment {number}.")
    context = ConsignmentPage(
        page=renderer_of(request).frame(f"Consignment {found.number}", actor),
        number=found.number,
        summary_href=f"/consignments/{found.number}/summary.pdf",
        facts=_facts(found),
        injectors=tuple(_line(one) for one in found.injectors),
        photographs=_albums(shop_of(request), found),
    )
    return renderer_of(request).page("consignments/consignment.html", context)


@router.get("/consignments/{number}/summary.pdf")
def summary_file(request: Request, number: str, actor: Actor = SignedIn) -> Response:
    """One sheet for the whole consignment, as it stands now; a ship's office gets those of its own fleet."""
    content = summarise_consignment(shop_of(request), actor, number)
    disposition = f'inline; filename="{number}-summary.pdf"'
    return Response(content, media_type="application/pdf", headers={"Content-Disposition": disposition})


def _albums(shop: Shop, found: ArrivedConsignment) -> tuple[ArrivalAlbum, ...]:
    with shop.store.reading() as session:
        kept = arrival_photographs(session, found.number)
    return tuple(
        ArrivalAlbum(
            serial=one.serial,
            href=f"/overhauls/{one.overhaul}/photographs",
            cards=tuple(
                card_of(one.overhaul, photograph.row, f"{one.serial} as it arrived")
                for photograph in kept
                if photograph.overhaul == one.overhaul
            ),
        )
        for one in found.injectors
    )


def _facts(found: ArrivedConsignment) -> tuple[Fact, ...]:
    facts = (
        Fact("Vessel", f"{found.vessel}, IMO {found.imo_number}"),
        Fact("Operator", found.operator),
        Fact("Received", minute(found.received_at)),
        Fact("Promised for", f"{found.due_on.day} {found.due_on:%b %Y}"),
        Fact("Ship's reference", found.reference),
        Fact("Remark", found.remark),
    )
    return tuple(fact for fact in facts if fact.value)


def _line(one: ArrivedInjector) -> InjectorLine:
    return InjectorLine(
        href=f"/overhauls/{one.overhaul}",
        overhaul=one.overhaul,
        serial=one.serial,
        injector_type=one.injector_type,
        place=f"{one.engine}, cylinder {one.cylinder}{f' {one.position}' if one.position else ''}",
        stage=one.stage.capitalize(),
        held=bool(one.held),
        label_href=f"/overhauls/{one.overhaul}/label.pdf",
    )
