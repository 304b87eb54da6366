"""A seat over the overhauls of one injector: a line for each, what is left, and how many more recuts are likely."""

from dataclasses import dataclass
from datetime import datetime

from markupsafe import Markup

from service.metrology.typed_numbers import plain
from service.pages.rendering import day
from service.pages.seat_drawing import MetalBar, metal_drawing
from service.records.recut_reads import SeatHistory, SeatPassage, cuts_on_type, seat_histories
from service.records.store import Store
from service.records.unit_reads import Passage, UnitRow
from service.workshop.recut_outlook import recut_outlook, recut_words


@dataclass(frozen=True, slots=True)
class SeatLine:
    """One overhaul; `recuts` are sentences, `found` the size where it was only measured."""

    overhaul: str
    received: str
    recuts: tuple[str, ...]
    found: str
    left: str


@dataclass(frozen=True, slots=True)
class SeatTold:
    """One seat that was recut; `forecast`, `warning` and `drawing` '' where there is nothing to tell or to draw."""

    title: str
    remaining: str
    forecast: str
    warning: str
    drawing: Markup | str
    lines: tuple[SeatLine, ...]


def seats_told(store: Store, unit: UnitRow) -> tuple[SeatTold, ...]:
    """Every recut seat of the unit over the overhauls that the person may see, the newest first."""
    seen = {passage.overhaul_id: passage for passage in unit.passages}
    histories = seat_histories(store, list(seen))
    return tuple(_told(store, number, history, seen) for number, history in enumerate(histories, start=1))


def _told(store: Store, number: int, history: SeatHistory, seen: dict[int, Passage]) -> SeatTold:
    newest = history.passages[0]
    depths = cuts_on_type(store, newest.overhaul_id, history.item, history.renewed_as)
    outlook = recut_outlook(newest.metal, depths)
    return SeatTold(
        title=history.item.title,
        remaining=outlook.remaining_words,
        forecast=outlook.forecast_words,
        warning=outlook.warning,
        drawing=metal_drawing(f"metal-{number}", history.item.title, _bars(history, seen)),
        lines=tuple(_line(passage, seen[passage.overhaul_id]) for passage in history.passages),
    )


def _bars(history: SeatHistory, seen: dict[int, Passage]) -> tuple[MetalBar, ...]:
    """The part that is in the injector now, oldest overhaul first; nothing where no recut took metal from it."""
    bars: list[MetalBar] = []
    for passage in history.passages:
        left = passage.metal.remaining
        if left is not None:
            taken = passage.metal.taken_mm
            bars.append(
                MetalBar(seen[passage.overhaul_id].number, left.remaining_mm, taken, left.expanded_uncertainty_mm)
            )
        if passage.renewed:
            break
    return tuple(reversed(bars)) if any(bar.taken_mm for bar in bars) else ()


def _line(passage: SeatPassage, of: Passage) -> SeatLine:
    metal, left = passage.metal, passage.metal.remaining
    new = "A new part was fitted." if passage.renewed else ""
    words = "not known"
    if left is not None:
        words = f"{plain(left.remaining_mm)} mm (U = {plain(left.expanded_uncertainty_mm)} mm)"
    return SeatLine(
        overhaul=of.number,
        received=day(datetime.fromisoformat(of.received_at[:10])),
        recuts=tuple(
            filter(None, (*(recut_words(recut, metal) for recut in metal.recuts), new if metal.recuts else ""))
        ),
        found=new or (f"{metal.measured.size_mm:f} mm, not recut." if metal.measured else "Not measured."),
        left=words,
    )
