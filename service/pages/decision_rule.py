"""The workshop's decision rule: what is in force, what was, and putting another in force."""

from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.decision_rules import put_rule_in_force
from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import parse_decimal
from service.pages.choices import Option
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.refused_form import seen_again, status_of_form
from service.pages.rendering import FormState, Frame, minute, new_form_key, see_other
from service.pages.typed_forms import Typed, TypedForm
from service.records.decision_rules import RuleVersion, open_verdicts, rule_versions
from service.workshop.decision_rule import RuleKind

router = APIRouter(prefix="/decision-rule")

_MOST_LINKS = 40
_KINDS = (
    Option(
        RuleKind.GUARD_BAND_BY_UNCERTAINTY.value,
        RuleKind.GUARD_BAND_BY_UNCERTAINTY.label,
        "ISO 14253-1: with factor 1, a value has to lie inside its limits by its whole expanded uncertainty.",
    ),
    Option(
        RuleKind.GUARD_BAND_BY_PROBABILITY.value,
        RuleKind.GUARD_BAND_BY_PROBABILITY.label,
        "JCGM 106:2012, 8.3: the guard band is as wide as the probability of conformity asks for.",
    ),
    Option(
        RuleKind.SIMPLE_ACCEPTANCE.value,
        RuleKind.SIMPLE_ACCEPTANCE.label,
        "JCGM 106:2012, 8.2: no guard band. Near a limit, one part in two may be on the wrong side of it.",
    ),
)


@dataclass(frozen=True)
class VersionLine:
    """One version of the history."""

    version: int
    text: str
    since: str
    by: str
    reason: str


@dataclass(frozen=True)
class EarlierLink:
    """An open injector whose verdicts carry an earlier version."""

    href: str
    serial: str


@dataclass(frozen=True)
class DecisionRulePage:
    """The rule in force with its history; `judged` counts the open injectors that keep the rule they were judged by."""

    page: Frame
    text: str
    in_words: str
    since: str
    history: tuple[VersionLine, ...]
    kinds: tuple[Option, ...]
    form: FormState
    form_key: str
    seen: int
    judged: int
    earlier_count: int
    earlier: tuple[EarlierLink, ...]


@router.get("")
def show_rule(request: Request, actor: Actor = Manager) -> Response:
    """What is in force, and the form for another."""
    return _page(request, actor, None, None)


@router.post("")
def put_in_force(request: Request, actor: Actor = Manager, typed: Typed = TypedForm) -> Response:
    """Put another rule in force."""
    try:
        put_rule_in_force(
            shop_of(request),
            actor,
            typed.form,
            kind=typed.choice("kind", RuleKind, "Kind of rule"),
            guard_factor=_factor(typed),
            probability=_probability(typed),
            reason=typed.text("reason"),
            password=(typed.fields.get("password") or ("",))[0],
        )
    except DomainError as error:
        return _page(request, actor, typed, error)
    return see_other("/decision-rule", request)


def _factor(typed: Typed) -> Decimal | None:
    """The factor, read only where the kind chosen asks for it."""
    if typed.text("kind") != RuleKind.GUARD_BAND_BY_UNCERTAINTY or not typed.text("guard_factor"):
        return None
    return parse_decimal(typed.text("guard_factor"), "guard_factor")


def _probability(typed: Typed) -> Decimal | None:
    """The probability, typed in per cent, read only where the kind chosen asks for it."""
    if typed.text("kind") != RuleKind.GUARD_BAND_BY_PROBABILITY or not typed.text("probability"):
        return None
    return parse_decimal(typed.text("probability").removesuffix("%"), "probability") / 100


def _page(request: Request, actor: Actor, typed: Typed | None, error: DomainError | None) -> Response:
    renderer = renderer_of(request)
    with shop_of(request).store.reading() as session:
        versions = rule_versions(session)
        judged = open_verdicts(session, versions[0].rule)
    now = versions[0]
    form, form_key, seen = FormState({"guard_factor": "1"}), new_form_key(), now.version
    if typed is not None:
        form, form_key, seen = typed.shown(error), typed.text("form_key"), seen_again(typed, error, now.version)
    earlier = [one for one in judged if one.earlier]
    context = DecisionRulePage(
        page=renderer.frame("Decision rule", actor, "/decision-rule"),
        text=now.rule.text,
        in_words=now.rule.in_words,
        since=_since(now),
        history=tuple(_line(version) for version in versions),
        kinds=_KINDS,
        form=form,
        form_key=form_key,
        seen=seen,
        judged=len(judged),
        earlier_count=len(earlier),
        earlier=tuple(EarlierLink(f"/overhauls/{one.number}/examination", one.serial) for one in earlier[:_MOST_LINKS]),
    )
    return renderer.page("decision_rule/decision_rule.html", context, 200 if error is None else status_of_form(error))


def _since(version: RuleVersion) -> str:
    return minute(version.in_force_from) if version.in_force_from else "the start"


def _line(version: RuleVersion) -> VersionLine:
    return VersionLine(
        version.version, version.rule.text, _since(version), version.person_name or "Nobody", version.reason
    )
