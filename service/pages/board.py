"""The board: what is where in the shop, how old it is, what is late."""

from dataclasses import dataclass
from datetime import date
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.pages.choices import Option
from service.pages.guards import AtBench, renderer_of, shop_of
from service.pages.rendering import FormState, Frame, day
from service.pages.rigs_today import rigs_to_see_to
from service.records.board_reads import (
    CardRow,
    ColumnCount,
    Wanted,
    board_cards,
    board_counts,
    recently_closed,
    vessels_in_shop,
)
from service.records.rig_standing_reads import rig_standings
from service.workshop.vocabulary import WAY, Stage

router = APIRouter()
_PER_COLUMN = 12
_PER_PAGE = 60
_CLOSED_SHOWN = 12
_LONGEST_SEARCH = 60


@dataclass(frozen=True)
class BoardCard:
    """One injector on the board; `late` is '' where it is not."""

    href: str
    serial: str
    injector_type: str
    vessel: str
    age: str
    late: str
    held: bool


@dataclass(frozen=True)
class BoardColumn:
    """One stage with its most pressing injectors; `more_href` leads to the rest where there is one."""

    title: str
    count: int
    cards: tuple[BoardCard, ...]
    more: int
    more_href: str


@dataclass(frozen=True)
class Tally:
    """A count at the head of the board; it narrows the board to what it counts."""

    label: str
    href: str
    current: bool


@dataclass(frozen=True)
class ClosedLine:
    """An overhaul that is over."""

    href: str
    serial: str
    injector_type: str
    vessel: str
    ending: str
    when: str


@dataclass(frozen=True)
class BoardPage:
    """The board, or one stage of it in full."""

    page: Frame
    form: FormState
    vessels: tuple[Option, ...]
    tallies: tuple[Tally, ...]
    columns: tuple[BoardColumn, ...]
    single: bool
    all_href: str
    narrowed: bool
    closed: tuple[ClosedLine, ...]
    rigs: str
    """What is to be seen to at the test rigs, '' for nothing."""


@router.get("/board")
def show_board(
    request: Request,
    q: str = "",
    vessel: str = "",
    only: str = "",
    stage: str = "",
    skip: str = "",
    actor: Actor = AtBench,
) -> Response:
    """What is where: columns by stage, the most pressing first."""
    store, today = shop_of(request).store, shop_of(request).today
    text, chosen = q.strip()[:_LONGEST_SEARCH], stage if stage in WAY[:-1] else ""
    everywhere = Wanted(text, vessel[:20])
    wanted = Wanted(text, vessel[:20], chosen, only == "held", today if only == "late" else None)
    passed = int(skip) if chosen and skip.isascii() and skip.isdigit() and len(skip) < 8 else 0
    counts = board_counts(store, wanted, today)
    size = _PER_PAGE if chosen else _PER_COLUMN
    cards = board_cards(store, wanted, per_stage=size, skip=passed)
    asked = {"q": text, "vessel": vessel, "only": only if only in ("late", "held") else ""}
    context = BoardPage(
        page=renderer_of(request).frame("Board", actor, "/board"),
        form=FormState({"q": text, "vessel": vessel}),
        vessels=tuple(Option(one.imo_number, f"{one.name} ({one.count})") for one in vessels_in_shop(store)),
        tallies=_tallies(board_counts(store, everywhere, today), asked),
        columns=tuple(
            _column(one, counts, [card for card in cards if card.stage == one], asked, passed, today)
            for one in WAY[:-1]
            if not chosen or one == chosen
        ),
        single=bool(chosen),
        all_href=_address(asked),
        narrowed=any(asked.values()),
        closed=() if chosen else _closed(request),
        rigs=rigs_to_see_to(rig_standings(store, today), today),
    )
    return renderer_of(request).page("board/board.html", context)


def _address(asked: dict[str, str], **other: str) -> str:
    query = urlencode({name: value for name, value in {**asked, **other}.items() if value})
    return f"/board?{query}" if query else "/board"


def _tallies(counts: dict[str, ColumnCount], asked: dict[str, str]) -> tuple[Tally, ...]:
    parts = (
        ("", f"{sum(one.count for one in counts.values())} in the shop"),
        ("late", f"{sum(one.late for one in counts.values())} late"),
        ("held", f"{sum(one.held for one in counts.values())} held"),
    )
    return tuple(Tally(label, _address(asked, only=only), asked["only"] == only) for only, label in parts)


def _column(
    stage: Stage,
    counts: dict[str, ColumnCount],
    rows: list[CardRow],
    asked: dict[str, str],
    passed: int,
    today: date,
) -> BoardColumn:
    count = counts[stage].count if stage in counts else 0
    shown = passed + len(rows)
    skip = str(passed + _PER_PAGE) if passed or len(rows) == _PER_PAGE else ""
    return BoardColumn(
        title=stage.value.capitalize(),
        count=count,
        cards=tuple(_card(row, today) for row in rows),
        more=max(0, count - shown),
        more_href=_address(asked, stage=stage, skip=skip),
    )


def _card(row: CardRow, today: date) -> BoardCard:
    late = (today - row.due_on).days
    return BoardCard(
        href=f"/overhauls/{row.number}",
        serial=row.serial,
        injector_type=row.injector_type,
        vessel=row.vessel,
        age=_age((today - row.opened_at.date()).days),
        late=f"{_days(late)} late" if late > 0 else "",
        held=row.held,
    )


def _age(days: int) -> str:
    return f"{_days(days)} here" if days > 0 else "Came today"


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def _closed(request: Request) -> tuple[ClosedLine, ...]:
    return tuple(
        ClosedLine(
            href=f"/overhauls/{row.number}",
            serial=row.serial,
            injector_type=row.injector_type,
            vessel=row.vessel,
            ending=row.stage.capitalize(),
            when=day(row.closed_at),
        )
        for row in recently_closed(shop_of(request).store, _CLOSED_SHOWN)
    )
