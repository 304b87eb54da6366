"""Rework, new parts, torques, adjusting discs, reopening."""

from typing import Annotated

from fastapi import APIRouter
from pydantic import Field

from service.actions.rebuilding import change_discs, fit_part, record_rework, record_torque, reopen
from service.actions.shop import Actor, Shop
from service.api.bodies import FormBody, InPath, Name, Number, Text, quantity
from service.api.description import WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, TheShop
from service.api.overhauls.recorded import RecordedAnswer, answered
from service.workshop.entries import DiscsChanged, PartFitted, PartReworked, Reopened, Torqued

router = APIRouter(prefix="/overhauls/{number}", tags=["overhauls"], route_class=ExactRoute)
Discs = Annotated[list[Number], Field(max_length=50)]


class ReworkBody(FormBody):
    """What was done to a part."""

    part: Name
    method: Text


class FittingBody(FormBody):
    """A new part, matched assembly or seal by its key, with its batch or serial."""

    item: Name
    batch: Name


class TorqueBody(FormBody):
    """A thread tightened, in N·m, with the wrench used."""

    point: Name
    value: Number
    wrench: Name


class DiscChangeBody(FormBody):
    """Adjusting discs added or taken out, in mm."""

    added: Discs = Field(default_factory=list)
    removed: Discs = Field(default_factory=list)
    reason: Text


class ReopeningBody(FormBody):
    """Why the injector is opened again."""

    reason: Text


@router.post("/reworks", status_code=201, operation_id="record_rework", responses=WRITES)
def rework(number: InPath, body: ReworkBody, actor: Actor = AtBench, shop: Shop = TheShop) -> RecordedAnswer:
    """Record a rework; what it touched is examined again in the phase after-rework."""
    return answered(record_rework(shop, actor, number, body.form, part=body.part, method=body.method), PartReworked)


@router.post("/fittings", status_code=201, operation_id="fit_part", responses=WRITES)
def fitting(number: InPath, body: FittingBody, actor: Actor = AtBench, shop: Shop = TheShop) -> RecordedAnswer:
    """Record a new part, matched assembly or seal."""
    return answered(fit_part(shop, actor, number, body.form, item=body.item, batch=body.batch), PartFitted)


@router.post("/torques", status_code=201, operation_id="record_torque", responses=WRITES)
def torque(number: InPath, body: TorqueBody, actor: Actor = AtBench, shop: Shop = TheShop) -> RecordedAnswer:
    """Record a tightening torque; the verdict comes back."""
    value = quantity(body.value, None, "N·m", "value")
    recorded = record_torque(shop, actor, number, body.form, point=body.point, value=value, wrench=body.wrench)
    return answered(recorded, Torqued)


@router.post("/disc-changes", status_code=201, operation_id="change_discs", responses=WRITES)
def disc_change(number: InPath, body: DiscChangeBody, actor: Actor = AtBench, shop: Shop = TheShop) -> RecordedAnswer:
    """Record adjusting discs added or taken out. This voids every earlier proving run of this overhaul."""
    added = tuple(quantity(disc, None, "mm", "added") for disc in body.added)
    removed = tuple(quantity(disc, None, "mm", "removed") for disc in body.removed)
    recorded = change_discs(shop, actor, number, body.form, added=added, removed=removed, reason=body.reason)
    return answered(recorded, DiscsChanged)


@router.post("/reopenings", status_code=201, operation_id="reopen", responses=WRITES)
def reopening(number: InPath, body: ReopeningBody, actor: Actor = AtBench, shop: Shop = TheShop) -> RecordedAnswer:
    """Open a rebuilt injector again. This voids every earlier proving run of this overhaul."""
    return answered(reopen(shop, actor, number, body.form, reason=body.reason), Reopened)
