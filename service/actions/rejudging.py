"""Judging an injector's measurements again under the rule in force: an event of its own, never a silent change."""

from dataclasses import dataclass

from sqlmodel import Session

from service.actions.recording import Form, check_unchanged, load_in_scope
from service.actions.shop import Actor, Conflict, Refused, Shop, require
from service.records.decision_rules import rule_in_force
from service.records.journal import append_journal
from service.records.json_text import content_to_json
from service.records.overhaul_store import LoadedOverhaul, append_entry, entry_seq_of_form
from service.records.record_check import payload_hash
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import Examined
from service.workshop.judged_rules import rejudged
from service.workshop.narration import narrate
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.permitted import NotPermitted, check_permitted
from service.workshop.stages import stage_of
from service.workshop.vocabulary import Phase, Role, Stage, VerdictKind


@dataclass(frozen=True)
class JudgedAgain:
    """One examination with its verdict before and now; `seq` of the new entry, None where nothing was to change."""

    characteristic: str
    phase: Phase
    seq: int | None
    rejudged_from: int
    before: VerdictKind
    after: VerdictKind
    rule: str


@dataclass(frozen=True)
class Rejudged:
    """What came of it: verdicts that differ, verdicts that stay, and the overhaul as it stands after it."""

    seq: int
    stage: Stage
    changed: tuple[JudgedAgain, ...]
    same: tuple[JudgedAgain, ...]


def rejudge_overhaul(
    shop: Shop, actor: Actor, number: str, form: Form, *, reason: str, rule_version: int | None = None
) -> Rejudged:
    """Judge every examination in force again from its stored measurement, all or none.

    Where the verdict or the rule that it was judged by differs, a new entry with the same measurement is appended and
    journalled. `rule_version` is the rule that the person saw. Raises NotFound, NotPermitted (over, or held), Refused,
    or Conflict: examined again, or another rule in force, since the person looked.
    """
    require(actor, Role.MANAGER)
    if not reason.strip():
        raise Refused("reason-missing", "Say why it is judged again.", "reason")
    with shop.store.change() as session:
        loaded = load_in_scope(session, actor, number, lock=True)
        made = _made_by(session, loaded, form)
        if made:
            return _told(_before(loaded.record, made), loaded.record, made)
        rule = rule_in_force(session)
        _check(loaded.record, rule, rule_version)
        grown = loaded
        for place, (_, content) in enumerate(rejudged(loaded.record, rule)):
            check_permitted(loaded.record, content)
            check_unchanged(loaded, content, form.seen)
            grown = _replace(session, shop, actor, grown, content, f"{form.key}:{place}", reason.strip())
            made.append(grown.row.last_seq)
        return _told(loaded.record, grown.record, made)


def _check(record: OverhaulRecord, rule: DecisionRule, rule_version: int | None) -> None:
    if record.exit is not None:
        raise NotPermitted("over", "This overhaul is over: its verdicts stand as they were certified.")
    if rule_version is not None and rule_version != rule.version:
        raise Conflict("changed", "Another rule came in force since you opened this page.", (rule.text,))


def _replace(
    session: Session, shop: Shop, actor: Actor, loaded: LoadedOverhaul, content: Examined, form_key: str, reason: str
) -> LoadedOverhaul:
    """Append the entry and journal the verdict before and after it."""
    at, row = shop.now(), loaded.row
    replaced = next(item for seq, item in loaded.record.all_of(Examined) if seq == content.rejudged_from)
    before = {"stage": row.stage, "held": row.held, "entry": content.rejudged_from, **_verdict(replaced)}
    grown = append_entry(session, loaded, content, at=at, person=actor.signature, form_key=form_key)
    words = narrate(content, loaded.record.sheet)
    after = {"stage": grown.row.stage, "held": grown.row.held, "entry": grown.row.last_seq, **_verdict(content)}
    append_journal(
        session,
        at=at,
        person=actor.signature,
        action="rejudged",
        subject=("overhaul", row.number),
        reason=reason,
        before=before,
        after={
            **after,
            "title": words.title,
            "sentence": words.sentence,
            "content_sha256": payload_hash(content_to_json(content)),
        },
    )
    return grown


def _verdict(item: Examined) -> dict[str, str]:
    return {"verdict": item.outcome.verdict.value, "rule": item.outcome.rule}


def _made_by(session: Session, loaded: LoadedOverhaul, form: Form) -> list[int]:
    """Sequences of the entries that this form has made already."""
    made: list[int] = []
    while (seq := entry_seq_of_form(session, loaded.row, f"{form.key}:{len(made)}")) is not None:
        made.append(seq)
    return made


def _before(record: OverhaulRecord, made: list[int]) -> OverhaulRecord:
    return _until(record, made[0] - 1)


def _until(record: OverhaulRecord, seq: int) -> OverhaulRecord:
    entries = tuple(entry for entry in record.entries if entry.seq <= seq)
    return OverhaulRecord(sheet=record.sheet, standing_order=record.standing_order, entries=entries)


def _told(before: OverhaulRecord, after: OverhaulRecord, made: list[int]) -> Rejudged:
    """The answer; of a form sent again the same as at first, whatever was recorded since."""
    after = _until(after, made[-1] if made else after.last_seq)
    new = {item.rejudged_from: (seq, item) for seq, item in after.all_of(Examined) if seq in made}
    lines = []
    for seq, item in before.examinations_in_force:
        again = new.get(seq)
        now = item if again is None else again[1]
        lines.append(
            JudgedAgain(
                characteristic=item.characteristic,
                phase=item.phase,
                seq=None if again is None else again[0],
                rejudged_from=seq,
                before=item.outcome.verdict,
                after=now.outcome.verdict,
                rule=now.outcome.rule,
            )
        )
    return Rejudged(
        seq=after.last_seq,
        stage=stage_of(after),
        changed=tuple(line for line in lines if line.before is not line.after),
        same=tuple(line for line in lines if line.before is line.after),
    )
