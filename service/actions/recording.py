"""How one entry gets onto an overhaul: scope, double submission, conflict, permission, append, journal."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from sqlmodel import Session

from service.actions.shop import Actor, Conflict, NotFound, Refused, Shop
from service.actions.signed_acts import signed_change
from service.records.journal import append_journal
from service.records.json_text import content_to_json
from service.records.overhaul_store import (
    LoadedOverhaul,
    append_entry,
    entry_seq_of_form,
    load_overhaul,
)
from service.records.record_check import payload_hash
from service.workshop.entries import Content, Released
from service.workshop.narration import narrate
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.permitted import check_permitted
from service.workshop.stages import stage_of
from service.workshop.vocabulary import Stage

Build = Callable[[LoadedOverhaul, Session], Content]


@dataclass(frozen=True)
class Form:
    """What every form carries: a key that makes a second submission harmless, and the last entry seen."""

    key: str
    seen: int

    def __post_init__(self) -> None:
        if not 8 <= len(self.key) <= 64 or not all(c.isalnum() or c in "-_" for c in self.key):
            raise Refused("form-key", "The form key must be 8 to 64 letters, digits, - or _.", "form_key")


@dataclass(frozen=True)
class Recorded:
    """The entry made (or made earlier by the same form), and the overhaul as it stands after it."""

    seq: int
    stage: Stage
    content: Content


def record_entry(
    shop: Shop, actor: Actor, number: str, form: Form, build: Build, *, password: str | None = None
) -> Recorded:
    """Append the content that `build` makes of the loaded overhaul; with a password it is a signed act.

    Raises NotFound: no such overhaul in the actor's sight; Conflict: somebody recorded on the same subject
    since `form.seen`; NotPermitted or another DomainError: the rules refuse it; WrongPassword, TooOften. Nothing is
    stored then.
    """
    with shop.store.change() if password is None else signed_change(shop, actor, password) as session:
        loaded = load_in_scope(session, actor, number, lock=True)
        earlier = entry_seq_of_form(session, loaded.row, form.key)
        if earlier is not None:
            return _repeated(loaded, earlier)
        content = build(loaded, session)
        grown = _record(session, shop, actor, loaded, content, form.seen, form.key, signed=password is not None)
        return Recorded(grown.row.last_seq, Stage(grown.row.stage), content)


def record_entries(
    shop: Shop, actor: Actor, number: str, form: Form, build: Callable[[LoadedOverhaul], Sequence[Content]]
) -> int:
    """Append several contents of one form, all or none; gives how many. A second submission appends nothing."""
    with shop.store.change() as session:
        loaded = load_in_scope(session, actor, number, lock=True)
        contents = build(loaded)
        for place, content in enumerate(contents):
            # A typed key has no colon, so the keys of one form's entries meet no other form's.
            key = f"{form.key}:{place}"
            if entry_seq_of_form(session, loaded.row, key) is not None:
                return 0
            loaded = _record(session, shop, actor, loaded, content, form.seen, key)
        return len(contents)


def _record(
    session: Session,
    shop: Shop,
    actor: Actor,
    loaded: LoadedOverhaul,
    content: Content,
    seen: int,
    form_key: str,
    *,
    signed: bool = False,
) -> LoadedOverhaul:
    check_permitted(loaded.record, content)
    check_unchanged(loaded, content, seen)
    return append_and_journal(session, shop, actor, loaded, content, form_key, signed=signed)


def append_and_journal(
    session: Session,
    shop: Shop,
    actor: Actor,
    loaded: LoadedOverhaul,
    content: Content,
    form_key: str,
    *,
    signed: bool = False,
) -> LoadedOverhaul:
    """Append an entry that has passed its checks, in the caller's transaction; gives the overhaul after it.

    `signed`: the actor gave the password again; the journal says so.
    """
    if isinstance(content, Released) and loaded.unit.condemned:  # in a later overhaul than this one
        raise Refused("condemned", f"{loaded.unit.serial} was condemned: it is never released again.")
    before = {"stage": loaded.row.stage, "held": loaded.row.held}
    at = shop.now()
    grown = append_entry(session, loaded, content, at=at, person=actor.signature, form_key=form_key)
    words = narrate(content, loaded.record.sheet)
    append_journal(
        session,
        at=at,
        person=actor.signature,
        action=content.kind,
        subject=("overhaul", loaded.row.number),
        reason=getattr(content, "reason", ""),
        before=before,
        after={
            "stage": grown.row.stage,
            "held": grown.row.held,
            "entry": grown.row.last_seq,
            "title": words.title,
            "sentence": words.sentence,
            "content_sha256": payload_hash(content_to_json(content)),
            **({"signed": True} if signed else {}),
        },
    )
    return grown


def load_in_scope(session: Session, actor: Actor, number: str, *, lock: bool = False) -> LoadedOverhaul:
    """The overhaul if the actor may see it; another fleet's answers exactly as an unknown one."""
    loaded = load_overhaul(session, number, lock=lock)
    if loaded is None or not actor.may_see(loaded.operator.id):
        raise NotFound("no-overhaul", f"There is no overhaul {number}.")
    return loaded


def _repeated(loaded: LoadedOverhaul, seq: int) -> Recorded:
    until_then = tuple(entry for entry in loaded.record.entries if entry.seq <= seq)
    as_it_was = replace(loaded.record, entries=until_then)
    return Recorded(seq, stage_of(as_it_was), until_then[-1].content)


def check_unchanged(loaded: LoadedOverhaul, content: Content, seen: int) -> None:
    """Raise Conflict, telling what, where somebody recorded on the same subject since the entry `seen`."""
    subject = narrate(content, loaded.record.sheet).subject
    changes = tuple(words for about, words in recorded_since(loaded.record, seen) if about == subject)
    if changes:
        raise Conflict(
            "changed",
            "Somebody recorded on the same thing since you opened this page. Look at it, then decide again.",
            changes,
        )


def recorded_since(record: OverhaulRecord, seen: int) -> list[tuple[str, str]]:
    """What was recorded after the entry last seen: the subject of each entry, and who recorded what in words."""
    newer = [(entry.person, narrate(entry.content, record.sheet)) for entry in record.entries if entry.seq > seen]
    return [(told.subject, f"{person}: {told.title}. {told.sentence}") for person, told in newer]
