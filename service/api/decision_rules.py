"""The versions of the workshop's decision rule."""

from datetime import datetime
from typing import Annotated

from fastapi import APIRouter
from pydantic import Field

from service.actions.decision_rules import put_rule_in_force
from service.actions.recording import Form
from service.actions.shop import Actor, Shop
from service.api.bodies import Answer, Body, Count, Exact, FormKey, Number, Text
from service.api.description import READS, WRITES, problems
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, Manager, TheShop
from service.metrology.typed_numbers import parse_decimal
from service.records.decision_rules import RuleVersion, rule_versions
from service.workshop.decision_rule import RuleKind

router = APIRouter(prefix="/decision-rules", tags=["registers"], route_class=ExactRoute)


class DecisionRuleBody(Body):
    """Another rule: `guard_factor` of U or `probability` (over 0.5, under 1), the one that its kind asks for."""

    form_key: FormKey
    seen: Annotated[Count, Field(description="The version in force as the person looked at it.")]
    kind: RuleKind
    guard_factor: Number | None = None
    probability: Number | None = None
    reason: Text
    password: Annotated[str, Field(max_length=1000)]


class DecisionRuleAnswer(Answer):
    """One version; `in_force_from` is null for the first, which holds from the start."""

    version: int
    kind: RuleKind
    guard_factor: Exact | None
    probability: Exact | None
    text: str
    in_force_from: datetime | None
    put_in_force_by: str
    reason: str


class DecisionRuleHistory(Answer):
    """Every version, the one in force first."""

    items: list[DecisionRuleAnswer]


class RuleInForce(Answer):
    """The number of the new version."""

    version: int


@router.get("", operation_id="list_decision_rules", responses=READS)
def list_decision_rules(actor: Actor = AtBench, shop: Shop = TheShop) -> DecisionRuleHistory:
    """The rule in force and those before it."""
    with shop.store.reading() as session:
        return DecisionRuleHistory(items=[_answer(one) for one in rule_versions(session)])


@router.post("", status_code=201, operation_id="put_decision_rule_in_force", responses={**WRITES, **problems(429)})
def put_in_force(body: DecisionRuleBody, actor: Actor = Manager, shop: Shop = TheShop) -> RuleInForce:
    """Put another rule in force. No verdict changes by it: see the rejudgements of an overhaul."""
    version = put_rule_in_force(
        shop,
        actor,
        Form(body.form_key, body.seen),
        kind=body.kind,
        guard_factor=None if body.guard_factor is None else parse_decimal(body.guard_factor, "guard_factor"),
        probability=None if body.probability is None else parse_decimal(body.probability, "probability"),
        reason=body.reason,
        password=body.password,
    )
    return RuleInForce(version=version)


def _answer(one: RuleVersion) -> DecisionRuleAnswer:
    by_probability = one.kind is RuleKind.GUARD_BAND_BY_PROBABILITY
    return DecisionRuleAnswer(
        version=one.version,
        kind=one.kind,
        guard_factor=None if by_probability else one.rule.guard_factor,
        probability=one.rule.probability,
        text=one.rule.text,
        in_force_from=one.in_force_from,
        put_in_force_by=one.person_name,
        reason=one.reason,
    )
