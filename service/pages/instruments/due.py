"""What is due for calibration when, and the calendar address of it."""

from dataclasses import dataclass
from urllib.parse import urlsplit

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.due_feeds import check_feed, close_feed, feed_opened_at, open_feed
from service.actions.shop import Actor, Shop
from service.documents.due_calendar import DayEvent, calendar_text
from service.pages.guards import Manager, renderer_of, shop_of
from service.pages.instruments.places import place_of, plain_day
from service.pages.rendering import Frame, minute, new_form_key, see_other
from service.pages.test_rigs.places import place_of as place_of_rig
from service.records.instrument_reads import InstrumentLine, due_list
from service.records.rig_standing_reads import rig_standings
from service.workshop.calibration import InstrumentState, due_in_words

router = APIRouter(prefix="/instruments/due")


@dataclass(frozen=True)
class DueRow:
    """One instrument of the list."""

    href: str
    line: InstrumentLine
    due: str
    words: str


@dataclass(frozen=True)
class OilDueRow:
    """The oil of one test rig."""

    href: str
    code: str
    due: str
    words: str


@dataclass(frozen=True)
class DuePage:
    """The list; `address` is the calendar address, shown only where it was made a moment ago."""

    page: Frame
    rows: tuple[DueRow, ...]
    oils: tuple[OilDueRow, ...]
    opened: str
    address: str
    form_key: str


@router.get("")
def show_due(request: Request, actor: Actor = Manager) -> Response:
    """What is late first."""
    return _page(request, actor, "")


@router.post("/calendar")
def make_address(request: Request, actor: Actor = Manager) -> Response:
    """Make a new calendar address; the earlier one ends."""
    shop = shop_of(request)
    return _page(request, actor, f"{shop.public_origin}/instruments/due/{open_feed(shop, actor)}.ics")


@router.post("/calendar/end")
def end_address(request: Request, actor: Actor = Manager) -> Response:
    """End the calendar address."""
    close_feed(shop_of(request), actor)
    return see_other("/instruments/due", request)


@router.get("/{token}.ics")
def calendar(request: Request, token: str) -> Response:
    """The list for a calendar program, which does not sign in: the secret in the address is the key."""
    shop = shop_of(request)
    with shop.store.reading() as session:
        check_feed(session, token)
    host = urlsplit(shop.public_origin).hostname or "workshop"
    events = [_event(shop, host, line) for line in due_list(shop.store, shop.today)]
    text = calendar_text(f"{shop.name}: calibrations due", [event for event in events if event is not None])
    headers = {"Content-Disposition": 'inline; filename="calibrations-due.ics"'}
    return Response(text.encode(), media_type="text/calendar; charset=utf-8", headers=headers)


def _event(shop: Shop, host: str, line: InstrumentLine) -> DayEvent | None:
    """None for an instrument that was never calibrated: it falls on no day."""
    if line.due is None or line.revised_at is None:
        return None
    lines = [
        f"{line.kind.label}. {line.description}".strip(),
        f"Certificate {line.certificate}",
        f"Place: {line.location}" if line.location else "",
        f"In quarantine: {line.reason}" if line.state is InstrumentState.QUARANTINED else "",
    ]
    return DayEvent(
        uid=f"instrument-{line.id}-due@{host}",
        sequence=line.version,
        revised_at=line.revised_at,
        day=line.due,
        summary=f"{line.code}: calibration due",
        description="\n".join(words for words in lines if words),
        url=f"{shop.public_origin}{place_of(line.code)}",
    )


def _page(request: Request, actor: Actor, address: str) -> Response:
    shop, renderer = shop_of(request), renderer_of(request)
    today = shop.today
    with shop.store.reading() as session:
        opened = feed_opened_at(session, actor)
    context = DuePage(
        page=renderer.frame("Calibrations due", actor, "/instruments"),
        rows=tuple(
            DueRow(place_of(line.code), line, plain_day(line.due), due_in_words(line.due, today))
            for line in due_list(shop.store, today)
        ),
        oils=tuple(
            OilDueRow(place_of_rig(one.code), one.code, plain_day(one.oil_due), due_in_words(one.oil_due, today))
            for one in sorted(rig_standings(shop.store, today), key=lambda one: one.oil_due or today)
            if one.oil_due is not None
        ),
        opened="" if opened is None else minute(opened),
        address=address,
        form_key=new_form_key(),
    )
    return renderer.page("instruments/due.html", context)
