"""Putting another decision rule in force. No verdict changes by it: judging again is an action of its own."""

from decimal import Decimal

from sqlmodel import select

from service.actions.recording import Form
from service.actions.shop import Actor, Conflict, Refused, Shop, require
from service.actions.signed_acts import signed_change
from service.metrology.typed_numbers import plain
from service.records.decision_rules import lock_rule_in_force, rule_of
from service.records.journal import append_journal
from service.records.tables import DecisionRuleRow
from service.workshop.decision_rule import DecisionRule, RuleKind
from service.workshop.vocabulary import Role

LARGEST_FACTOR = Decimal(3)
_LARGEST_PROBABILITY = Decimal("0.9999")
_FINEST = Decimal("0.000001")


def put_rule_in_force(
    shop: Shop,
    actor: Actor,
    form: Form,
    *,
    kind: RuleKind,
    guard_factor: Decimal | None = None,
    probability: Decimal | None = None,
    reason: str,
    password: str,
) -> int:
    """Append a version of the rule, in force from now on; gives its number. A second submission appends nothing.

    `form.seen` is the version that the person saw in force; `guard_factor` (of U) or `probability` (0.5 to 1) is the
    one that the kind asks for. Raises Refused, WrongPassword, TooOften, or Conflict where another rule came in force.
    """
    require(actor, Role.MANAGER)
    rule = _checked(kind, guard_factor, probability)
    if not reason.strip():
        raise Refused("reason-missing", "Say why the rule changes.", "reason")
    with signed_change(shop, actor, password) as session:
        earlier = lock_rule_in_force(session)
        made = session.exec(select(DecisionRuleRow.version).where(DecisionRuleRow.form_key == form.key)).first()
        if made is not None:
            return made
        if earlier.version != form.seen:
            told = f"{earlier.person_name or 'The start'}: {rule_of(earlier).text}. {earlier.reason}"
            raise Conflict("changed", "Another rule came in force since you opened this page.", (told,))
        before = rule_of(earlier)
        if (before.kind, before.guard_band) == (rule.kind, rule.guard_band):
            raise Refused("same-rule", "This rule is in force already.", "kind")
        row = DecisionRuleRow(
            version=earlier.version + 1,
            kind=kind.value,
            guard_factor=None if rule.probability is not None else plain(rule.guard_factor),
            probability=None if rule.probability is None else plain(rule.probability),
            in_force_from=shop.now(),
            person_id=actor.person_id,
            person_name=actor.name,
            reason=reason.strip(),
            form_key=form.key,
        )
        session.add(row)
        session.flush()
        append_journal(
            session,
            at=shop.now(),
            person=actor.signature,
            action="decision-rule-in-force",
            subject=("decision_rule", str(row.version)),
            reason=row.reason,
            before={"in_force": before.text},
            after={"in_force": rule_of(row).text},
        )
        return row.version


def _checked(kind: RuleKind, guard_factor: Decimal | None, probability: Decimal | None) -> DecisionRule:
    """The rule of that kind, or a refusal on the field that is missing or out of bounds."""
    match kind:
        case RuleKind.SIMPLE_ACCEPTANCE:
            return DecisionRule(Decimal(0))
        case RuleKind.GUARD_BAND_BY_UNCERTAINTY:
            given, field, over, most = guard_factor, "guard_factor", Decimal(0), LARGEST_FACTOR
            words = f"Give the guard band as a factor of U, over 0 and at most {LARGEST_FACTOR}."
        case RuleKind.GUARD_BAND_BY_PROBABILITY:
            given, field, over, most = probability, "probability", Decimal("0.5"), _LARGEST_PROBABILITY
            words = "Give the probability of conformity, over 50 % and at most 99.99 %."
    if given is None or not given.is_finite() or not over < given <= most:
        raise Refused(f"{field.replace('_', '-')}-bounds", words, field)
    if given != given.quantize(_FINEST):
        raise Refused(f"{field.replace('_', '-')}-digits", "Give at most six digits after the point.", field)
    if kind is RuleKind.GUARD_BAND_BY_PROBABILITY:
        return DecisionRule(probability=given)
    return DecisionRule(given)
