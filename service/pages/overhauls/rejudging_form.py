"""What the examination's list says of verdicts that carry an earlier rule, and of those judged again."""

from collections.abc import Mapping
from dataclasses import dataclass

from service.actions.shop import Actor
from service.pages.overhauls.recordable import stage_allows
from service.pages.overhauls.small_forms import PageForms, SmallForm
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import Examined
from service.workshop.judged_rules import judged_earlier
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import Role


@dataclass(frozen=True)
class Rejudging:
    """How many verdicts carry an earlier rule than `rule`, and the form to judge them again."""

    count: int
    rule: str
    version: int
    form: SmallForm


def rejudging(
    record: OverhaulRecord, rule: DecisionRule, actor: Actor, address: str, forms: PageForms
) -> Rejudging | None:
    """The form for a manager while something may be examined; None where every verdict is by the rule in force."""
    earlier = judged_earlier(record, rule)
    if actor.role is not Role.MANAGER or not earlier or not stage_allows(record, Examined):
        return None
    form = forms.form("rejudge", f"{address}/rejudgements")
    return Rejudging(len(earlier), rule.text, rule.version or 0, form)


def judged_again_words(item: Examined, examined: Mapping[int, Examined]) -> str:
    """What it was before it was judged again, '' where it never was."""
    replaced = None if item.rejudged_from is None else examined.get(item.rejudged_from)
    if replaced is None:
        return ""
    before = replaced.outcome.verdict
    if before is item.outcome.verdict:
        return "Judged again: the same"
    return f"Judged again: was “{before.label.lower()}”"
