"""Settling parts: settlements, concessions, the office's answers."""

from fastapi import APIRouter

from service.actions.looking import look_at_overhaul
from service.actions.settling import answer_proposal, decide_concession, settle_as_proposed, settle_part
from service.actions.shop import Actor, Shop
from service.api.bodies import Answer, FormBody, InPath, Name, SignedBody, Text, Yes
from service.api.description import SIGNED, WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, Manager, Office, TheShop
from service.api.overhauls.recorded import RecordedAnswer, answered
from service.workshop.disposition import propose, settlement_in_force
from service.workshop.entries import ConcessionDecided, OfficeAnswered, PartSettled
from service.workshop.stages import stage_of
from service.workshop.vocabulary import Disposition, Stage

router = APIRouter(prefix="/overhauls/{number}", tags=["overhauls"], route_class=ExactRoute)


class SettlementBody(FormBody):
    """What happens to a part; another choice than the proposal needs a reason."""

    part: Name
    chosen: Disposition
    reason: Text = ""


class ConcessionBody(SignedBody):
    """The decision on a settlement that is milder than the rules propose, signed with the own password."""

    part: Name
    granted: Yes
    reason: Text


class OfficeAnswerBody(FormBody):
    """The decision on one line of work beyond the standing order."""

    part: Name
    accepted: Yes
    note: Text = ""


class SettledAsProposed(Answer):
    """The parts that are settled as the rules propose, by key, in the sheet's order."""

    seq: int
    stage: Stage
    parts: list[str]


@router.post("/settlements", status_code=201, operation_id="settle_part", responses=WRITES)
def settlement(number: InPath, body: SettlementBody, actor: Actor = AtBench, shop: Shop = TheShop) -> RecordedAnswer:
    """Settle one part."""
    recorded = settle_part(shop, actor, number, body.form, part=body.part, chosen=body.chosen, reason=body.reason)
    return answered(recorded, PartSettled)


@router.post("/settlements/as-proposed", status_code=201, operation_id="settle_as_proposed", responses=WRITES)
def as_proposed(number: InPath, body: FormBody, actor: Actor = AtBench, shop: Shop = TheShop) -> SettledAsProposed:
    """Confirm the proposal of every part that is examined and not settled yet."""
    settle_as_proposed(shop, actor, number, body.form)
    record = look_at_overhaul(shop, actor, number).record
    in_force = ((key, settlement_in_force(record, proposal)) for key, proposal in propose(record).items())
    parts = [key for key, settled in in_force if settled is not None and settled.chosen is settled.proposed]
    return SettledAsProposed(seq=record.last_seq, stage=stage_of(record), parts=parts)


@router.post("/concessions", status_code=201, operation_id="decide_concession", responses=SIGNED)
def concession(number: InPath, body: ConcessionBody, actor: Actor = Manager, shop: Shop = TheShop) -> RecordedAnswer:
    """Grant or refuse the concession that a milder settlement needs; the certificate prints a granted one."""
    recorded = decide_concession(
        shop,
        actor,
        number,
        body.form,
        part=body.part,
        granted=body.granted,
        reason=body.reason,
        password=body.password,
    )
    return answered(recorded, ConcessionDecided)


@router.post("/answers", status_code=201, operation_id="answer_proposal", responses=WRITES)
def office_answer(
    number: InPath, body: OfficeAnswerBody, actor: Actor = Office, shop: Shop = TheShop
) -> RecordedAnswer:
    """Accept or decline one line of work beyond the standing order."""
    recorded = answer_proposal(shop, actor, number, body.form, part=body.part, accepted=body.accepted, note=body.note)
    return answered(recorded, OfficeAnswered)
