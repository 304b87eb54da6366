"""Reading the journal: a page at a time, newest first, by id; and what an event changed, line by line."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import func
from sqlmodel import Session, col, select

from service.records.tables import JournalRow, Person

PAGE = 40
LINES = 60
"""More changed lines than this are counted, not listed: a whole imported limit sheet is hundreds."""

_TOLD = ("title", "sentence")
"""How an entry of an overhaul tells itself in the journal; see `append_and_journal`."""
_UNSAID = (*_TOLD, "entry", "content sha256")


@dataclass(frozen=True)
class Change:
    """One thing that an event changed; '' is nothing."""

    place: str
    before: str
    after: str


@dataclass(frozen=True)
class JournalEvent:
    """One row of the journal. `words` is what an entry of an overhaul says; `more` counts the lines not listed."""

    id: int
    at: datetime
    person_name: str
    action: str
    subject_kind: str
    subject_id: str
    reason: str
    words: str
    changes: tuple[Change, ...]
    more: int


@dataclass(frozen=True)
class JournalPage:
    """Events newest first; `older` is where the next page begins, None at the end."""

    events: tuple[JournalEvent, ...]
    older: int | None


def journal_page(
    session: Session, *, before: int | None = None, subject: str = "", person_id: int | None = None
) -> JournalPage:
    """The newest events with an id below `before`, of subjects that contain the text, by that person."""
    statement = select(JournalRow).order_by(col(JournalRow.id).desc()).limit(PAGE + 1)
    if before is not None:
        statement = statement.where(col(JournalRow.id) < before)
    if subject:
        statement = statement.where(func.lower(JournalRow.subject_id).contains(subject.lower(), autoescape=True))
    if person_id is not None:
        statement = statement.where(JournalRow.person_id == person_id)
    rows = session.exec(statement).all()
    events = tuple(_event(row) for row in rows[:PAGE])
    return JournalPage(events, events[-1].id if len(rows) > PAGE else None)


def journal_people(session: Session) -> tuple[tuple[int, str], ...]:
    """People to filter by, by name."""
    return tuple((row.id or 0, row.name) for row in session.exec(select(Person).order_by(Person.name, Person.login)))


def changes_between(before: str, after: str) -> tuple[Change, ...]:
    """What differs between two JSON texts of the journal, in the order of the newer one; lists go by their keys."""
    old, new = _flat(_value(before)), _flat(_value(after))
    places = [*new, *(place for place in old if place not in new)]
    return tuple(
        Change(place, old.get(place, ""), new.get(place, ""))
        for place in places
        if old.get(place, "") != new.get(place, "")
    )


def _event(row: JournalRow) -> JournalEvent:
    changes = changes_between(row.before, row.after)
    words = ""
    if row.subject_kind == "overhaul":
        told = {change.place: change.after for change in changes if change.place in _TOLD}
        changes = tuple(change for change in changes if change.place not in _UNSAID)
        words = ". ".join(told[place] for place in _TOLD if place in told)
    return JournalEvent(
        id=row.id or 0,
        at=row.at,
        person_name=row.person_name,
        action=row.action,
        subject_kind=row.subject_kind,
        subject_id=row.subject_id,
        reason=row.reason,
        words=words,
        changes=changes[:LINES],
        more=max(0, len(changes) - LINES),
    )


def _value(text: str) -> Any:
    """The JSON value; a limit sheet stands in the journal as the text of its file."""
    if not text:
        return {}
    value = json.loads(text)
    if isinstance(value, str) and value.startswith("{"):
        return json.loads(value)
    return value


def _flat(value: Any, place: str = "") -> dict[str, str]:
    """Every leaf by its place in words; empty ones are left out. A list with keys also tells its order."""
    if isinstance(value, Mapping):
        found: dict[str, str] = {}
        for key, item in value.items():
            found.update(_flat(item, f"{place} › {_words(str(key))}" if place else _words(str(key))))
        return found
    if isinstance(value, list) and any(isinstance(item, Mapping) for item in value):
        return _flat_list(value, place)
    text = _text(value)
    return {place or "value": text} if text else {}


def _flat_list(items: list[Any], place: str) -> dict[str, str]:
    keys = [item.get("key") if isinstance(item, Mapping) else None for item in items]
    named = len(set(keys)) == len(keys) and None not in keys
    found: dict[str, str] = {f"{place} › order": ", ".join(map(str, keys))} if named else {}
    for number, item in enumerate(items):
        found.update(_flat(item, f"{place} › {keys[number] if named else number + 1}"))
    return found


def _text(value: Any) -> str:
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case list():
            return ", ".join(map(_text, value))
        case _:
            return str(value)


def _words(key: str) -> str:
    return key.replace("_", " ")
