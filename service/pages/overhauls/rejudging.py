"""Judging an injector again under the rule in force: a small form on the examination's list, for the manager."""

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.rejudging import rejudge_overhaul
from service.actions.shop import Actor
from service.pages.guards import Manager, shop_of
from service.pages.overhauls.examination import examination_list
from service.pages.overhauls.small_forms import attempt
from service.pages.rendering import see_other
from service.pages.typed_forms import Typed, TypedForm

router = APIRouter()


@router.post("/overhauls/{number}/rejudgements")
def judge_again(request: Request, number: str, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Judge it again; the list then shows what became of each verdict."""
    refusal = attempt(
        lambda: rejudge_overhaul(
            shop_of(request),
            actor,
            number,
            typed.form,
            reason=typed.text("reason"),
            rule_version=typed.whole_or_none("rule_version", "Rule"),
        ),
        "rejudge",
        typed,
    )
    if refusal is None:
        return see_other(f"/overhauls/{number}/examination", request)
    return examination_list(request, actor, number, refusal)
