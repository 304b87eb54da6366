"""What follows from a search for discs, in words: leave it, fit a set, get another disc, or replace the spring."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from service.hydraulics.disc_search import DiscSet, DiscTask
from service.metrology.typed_numbers import plain

AdviceKind = Literal["leave", "change-discs", "no-such-disc", "replace-spring", "too-high"]


@dataclass(frozen=True, slots=True)
class DiscAdvice:
    """What to do, and the sentence that says so."""

    kind: AdviceKind
    sentence: str


def advise(task: DiscTask, found: tuple[DiscSet, ...]) -> DiscAdvice:
    """The advice behind what `fewest_discs` found for the task."""
    low, high = task.window_um
    if found:
        if not found[0].added_um and not found[0].removed_um:
            return DiscAdvice("leave", "The opening pressure is in its band: leave the discs as they are.")
        return DiscAdvice("change-discs", _sets_in_words(found))
    if not task.stock and not task.fitted_um and high >= low > 0:
        return DiscAdvice("no-such-disc", f"No disc is in stock{_what_would_do(low, high)}")
    most_um = _most_change_um(task)
    if low > most_um and low > 0:
        reached = _bar(task.expected_bar(most_um))
        return DiscAdvice(
            "replace-spring", f"{_room_in_words(task)} would bring it only to {reached}: replace the spring."
        )
    least_um = -sum(task.fitted_um)
    if high < least_um:
        without = "with every added disc taken out" if task.fitted_um else "and no added disc is there to take out"
        return DiscAdvice(
            "too-high",
            f"It stays at {_bar(task.expected_bar(least_um))} {without}. A disc only raises the pressure: look for a "
            "disc that it arrived with, a wrong spring or a needle that sticks, else replace the spring.",
        )
    return DiscAdvice("no-such-disc", f"No set of these discs ends in the band{_what_would_do(low, high)}")


def _sets_in_words(found: tuple[DiscSet, ...]) -> str:
    touched = len(found[0].added_um) + len(found[0].removed_um)
    discs = "one disc" if touched == 1 else f"{touched} discs"
    if len(found) == 1:
        return f"One set brings it into the band with the fewest changes: {discs}."
    return f"{len(found)} sets bring it into the band with the fewest changes, {discs} each: the nearest comes first."


def _what_would_do(low: int, high: int) -> str:
    if low > high:
        return ", which is narrower than a thousandth of a millimetre makes: widen the tolerance."
    if high > 0:
        least, most = plain(Decimal(max(low, 1)) / 1000), plain(Decimal(high) / 1000)
        span = f"{least} mm" if least == most else f"{least} to {most} mm"
        return f". Discs of {span} altogether would bring it there: get them, or replace the spring."
    return ". Exchange the discs that were added for thinner ones, or replace the spring."


def _most_change_um(task: DiscTask) -> int:
    """The most that the spring can be compressed by with the room there is."""
    room, change = max(0, task.most - len(task.fitted_um)), 0
    for disc in reversed(task.stock):
        taken = room if disc.count is None else min(room, disc.count)
        room, change = room - taken, change + taken * disc.thickness_um
    thickest = task.stock[-1].thickness_um if task.stock else 0
    # Thin discs may be exchanged for thick ones; counting them all as the thickest errs towards "another disc".
    return change + sum(max(0, thickest - um) for um in task.fitted_um)


def _room_in_words(task: DiscTask) -> str:
    if task.most == 0:
        return "No disc may be added, which"
    return f"Even the {task.most} added discs that are allowed, of the thickest in stock,"


def _bar(pressure: Decimal) -> str:
    return f"{plain(pressure.quantize(Decimal('0.1')))} bar"
