"""The workshop's decision rule: the version in force, its history, and whose verdicts carry an earlier one."""

from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal

from sqlalchemy import exists
from sqlalchemy.orm import aliased
from sqlmodel import Session, col, or_, select
from sqlmodel.sql.expression import SelectOfScalar

from service.records.tables import DecisionRuleRow, EntryRow, Overhaul, Unit
from service.workshop.decision_rule import DecisionRule, RuleKind


@dataclass(frozen=True)
class RuleVersion:
    """One version as it was put in force; `in_force_from` None and nobody's name for the first."""

    version: int
    kind: RuleKind
    rule: DecisionRule
    in_force_from: datetime | None
    person_name: str
    reason: str


@dataclass(frozen=True)
class OpenVerdicts:
    """An open overhaul with measured verdicts; `earlier` where one of them was judged under an earlier version."""

    number: str
    serial: str
    earlier: bool


def rule_in_force(session: Session) -> DecisionRule:
    """The newest version, read in the caller's transaction so that a verdict and its rule belong together."""
    return rule_of(session.exec(_newest_first().limit(1)).one())


def rule_versions(session: Session) -> tuple[RuleVersion, ...]:
    """Every version, the one in force first."""
    return tuple(
        RuleVersion(row.version, RuleKind(row.kind), rule_of(row), row.in_force_from, row.person_name, row.reason)
        for row in session.exec(_newest_first())
    )


def lock_rule_in_force(session: Session) -> DecisionRuleRow:
    """The newest version, with other writers of the rule kept out until the commit."""
    # Whoever waited for the row must look again: a newer version may have been put above it meanwhile.
    session.exec(_newest_first().limit(1).with_for_update()).one()
    return session.exec(_newest_first().limit(1)).one()


def open_verdicts(session: Session, rule: DecisionRule) -> tuple[OpenVerdicts, ...]:
    """Every open overhaul whose examinations in force hold a value that was measured and judged by a rule."""
    newer = aliased(EntryRow)
    payload = col(EntryRow.payload)
    measured = or_(*(payload.contains(f'"kind":"{kind}"') for kind in ("size", "ovality", "roundness")))
    replaced = exists().where(
        col(newer.overhaul_id) == EntryRow.overhaul_id,
        col(newer.subject) == EntryRow.subject,
        col(newer.seq) > EntryRow.seq,
    )
    under_it = payload.contains(f'"rule":"{rule.text}"', autoescape=True)
    rows = session.exec(
        select(Overhaul.number, Unit.serial, under_it)
        .join(EntryRow, col(EntryRow.overhaul_id) == Overhaul.id)
        .join(Unit, col(Unit.id) == Overhaul.unit_id)
        .where(col(Overhaul.closed_at).is_(None), EntryRow.kind == "examined", measured, ~replaced)
        .order_by(Overhaul.number)
    )
    found: dict[str, OpenVerdicts] = {}
    for number, serial, same in rows:
        earlier = not same or (number in found and found[number].earlier)
        found[number] = OpenVerdicts(number, serial, earlier)
    return tuple(found.values())


def _newest_first() -> SelectOfScalar[DecisionRuleRow]:
    return select(DecisionRuleRow).order_by(col(DecisionRuleRow.version).desc())


def rule_of(row: DecisionRuleRow) -> DecisionRule:
    """The rule that a row stores."""
    if row.probability is not None:
        return DecisionRule(probability=Decimal(row.probability), version=row.version)
    return DecisionRule(Decimal(row.guard_factor or 0), version=row.version)
