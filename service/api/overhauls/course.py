"""Holds, the side exits, and the release."""

from fastapi import APIRouter, Response

from service.actions.course import condemn, hold, lift_hold, return_unrepaired
from service.actions.looking import look_at_overhaul
from service.actions.releasing import sign_release
from service.actions.shop import Actor, Shop
from service.api.bodies import FormBody, InPath, SignedBody, Text
from service.api.description import SIGNED, WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, Manager, TheShop
from service.api.overhauls.recorded import RecordedAnswer, answered
from service.workshop.entries import Condemned, Held, HoldLifted, Returned
from service.workshop.stages import stage_of

router = APIRouter(prefix="/overhauls/{number}", tags=["overhauls"], route_class=ExactRoute)


class ReasonBody(FormBody):
    """Why."""

    reason: Text


class SignedReasonBody(SignedBody):
    """Why, and the own password once more: this is a signed act."""

    reason: Text


class ReleaseBody(SignedBody):
    """The manager's own password once more: this signs the certificate."""


class ReleaseAnswer(RecordedAnswer):
    """The certificate that was issued; anybody can check it at `check_url`."""

    certificate: str
    check_url: str


@router.post("/holds", status_code=201, operation_id="hold", responses=SIGNED)
def held(number: InPath, body: SignedReasonBody, actor: Actor = AtBench, shop: Shop = TheShop) -> RecordedAnswer:
    """Stop everything on this injector until a manager lifts the hold."""
    return answered(hold(shop, actor, number, body.form, reason=body.reason, password=body.password), Held)


@router.post("/hold-lifts", status_code=201, operation_id="lift_hold", responses=SIGNED)
def hold_lift(number: InPath, body: SignedReasonBody, actor: Actor = Manager, shop: Shop = TheShop) -> RecordedAnswer:
    """Let it go on."""
    return answered(lift_hold(shop, actor, number, body.form, reason=body.reason, password=body.password), HoldLifted)


@router.post("/returns", status_code=201, operation_id="return_unrepaired", responses=WRITES)
def returned(number: InPath, body: ReasonBody, actor: Actor = Manager, shop: Shop = TheShop) -> RecordedAnswer:
    """Send it back as it is; no certificate is issued."""
    return answered(return_unrepaired(shop, actor, number, body.form, reason=body.reason), Returned)


@router.post("/condemnations", status_code=201, operation_id="condemn", responses=SIGNED)
def condemned(number: InPath, body: SignedReasonBody, actor: Actor = Manager, shop: Shop = TheShop) -> RecordedAnswer:
    """Scrap the injector for good: its serial is never received, fitted or released again."""
    return answered(condemn(shop, actor, number, body.form, reason=body.reason, password=body.password), Condemned)


@router.post("/release", status_code=201, operation_id="sign_release", responses=SIGNED)
def release(
    number: InPath, body: ReleaseBody, response: Response, actor: Actor = Manager, shop: Shop = TheShop
) -> ReleaseAnswer:
    """Sign and issue the certificate, all or nothing; refused with every blocker in words while one is left."""
    issued = sign_release(shop, actor, number, body.form, password=body.password)
    record = look_at_overhaul(shop, actor, number).record
    response.headers["Location"] = f"/api/v1/certificates/{issued.number}"
    return ReleaseAnswer(
        seq=record.last_seq,
        stage=stage_of(record),
        certificate=issued.number,
        check_url=f"{shop.public_origin}/certificates/{issued.token}",
    )
