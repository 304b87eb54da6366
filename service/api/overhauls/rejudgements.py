"""Judging an overhaul again under the rule in force."""

from typing import Annotated

from fastapi import APIRouter
from pydantic import Field

from service.actions.rejudging import rejudge_overhaul
from service.actions.shop import Actor, Shop
from service.api.bodies import Answer, Count, FormBody, InPath, Text
from service.api.description import WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import Manager, TheShop
from service.workshop.vocabulary import Phase, Stage, VerdictKind

router = APIRouter(prefix="/overhauls/{number}", tags=["overhauls"], route_class=ExactRoute)


class RejudgementBody(FormBody):
    """Why; with `rule_version` it is refused where another rule came in force since."""

    reason: Text
    rule_version: Annotated[Count | None, Field(description="The version that the person saw in force.")] = None


class JudgedAgainAnswer(Answer):
    """One examination; `seq` is its new entry, null where nothing was to change, `rejudged_from` the entry before."""

    characteristic: str
    phase: Phase
    seq: int | None
    rejudged_from: int
    before: VerdictKind
    after: VerdictKind
    rule: str


class RejudgementAnswer(Answer):
    """Verdicts that differ and verdicts that stay; send `seq` as `seen` with the next form."""

    seq: int
    stage: Stage
    changed: list[JudgedAgainAnswer]
    same: list[JudgedAgainAnswer]


@router.post("/rejudgements", status_code=201, operation_id="rejudge_overhaul", responses=WRITES)
def rejudged(number: InPath, body: RejudgementBody, actor: Actor = Manager, shop: Shop = TheShop) -> RejudgementAnswer:
    """Judge every examination in force again from its stored measurement, all or none."""
    done = rejudge_overhaul(shop, actor, number, body.form, reason=body.reason, rule_version=body.rule_version)
    return RejudgementAnswer.model_validate(done)
