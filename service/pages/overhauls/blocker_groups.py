"""Many blockers of one kind as one line that opens, so that the few that differ are seen."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from service.pages.overhauls.places import Remedy, remedies
from service.workshop.release_gate import Blocker
from service.workshop.vocabulary import Role

FOLD_FROM = 4
"""So many of one kind in a row are one line."""

_KINDS = {
    "not-examined": "characteristics are not examined",
    "not-settled": "parts are not settled",
    "not-answered": "proposals wait for the ship's office",
    "rebuild-fit": "new parts and seals are not fitted",
    "rebuild-torque": "threads are not tightened",
}
"""Only lines that say the same of many; a refusal, a hold or a void run is never folded."""


@dataclass(frozen=True)
class BlockerGroup:
    """Some blockers: `title` sums them up, '' where each stands for itself."""

    title: str
    lines: tuple[Remedy, ...]


def blocker_groups(number: str, blockers: Iterable[Blocker], role: Role) -> tuple[BlockerGroup, ...]:
    """Every blocker with its way, in the gate's order, many of one kind under one title."""
    groups = []
    for code, run in groupby(blockers, key=lambda blocker: blocker.code):
        lines = remedies(number, run, role)
        title = f"{len(lines)} {_KINDS[code]}" if code in _KINDS and len(lines) >= FOLD_FROM else ""
        groups.append(BlockerGroup(title, lines))
    return tuple(groups)
