"""The journal: who changed what, when and why, newest first."""

from dataclasses import dataclass
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.pages.choices import Option
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.rendering import FormState, Frame
from service.records.journal_reads import JournalEvent, journal_page, journal_people

router = APIRouter(prefix="/journal")

FEW = 6


@dataclass(frozen=True)
class EventCard:
    """An event with its action in words and, for an overhaul, where it is; `open` shows its few changes at once."""

    event: JournalEvent
    action: str
    href: str
    open: bool


@dataclass(frozen=True)
class JournalListPage:
    """One page of the journal; `older` is the address of the next, '' at the end."""

    page: Frame
    form: FormState
    people: tuple[Option, ...]
    events: tuple[EventCard, ...]
    newest: str
    older: str


@router.get("")
def show_journal(
    request: Request, before: str = "", subject: str = "", person: str = "", actor: Actor = Manager
) -> Response:
    """One page of it. What is no number in the address is taken as not given."""
    renderer = renderer_of(request)
    subject = subject.strip()[:120]
    with shop_of(request).store.reading() as session:
        found = journal_page(session, before=_number(before), subject=subject, person_id=_number(person))
        people = tuple(Option(str(number), name) for number, name in journal_people(session))
    chosen = {name: value for name, value in (("subject", subject), ("person", person)) if value}
    context = JournalListPage(
        page=renderer.frame("Journal", actor, "/journal"),
        form=FormState({"subject": subject, "person": person}),
        people=people,
        events=tuple(_card(event) for event in found.events),
        newest=f"/journal?{urlencode(chosen)}" if before else "",
        older=f"/journal?{urlencode({**chosen, 'before': found.older})}" if found.older else "",
    )
    return renderer.page("journal/journal.html", context)


def _card(event: JournalEvent) -> EventCard:
    words = event.action.replace("-", " ").replace("_", " ")
    href = f"/overhauls/{event.subject_id}" if event.subject_kind == "overhaul" else ""
    few = 0 < len(event.changes) <= FEW and not event.words
    return EventCard(event, words[:1].upper() + words[1:], href, few)


def _number(text: str) -> int | None:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 10 else None
