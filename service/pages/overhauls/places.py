"""Where on the pages of an overhaul each thing that blocks its release is mended, and who can mend it."""

from collections.abc import Iterable
from dataclasses import dataclass
from urllib.parse import quote

from service.workshop.release_gate import Blocker
from service.workshop.vocabulary import Role

_AFTER_AGREEMENT = ("rebuild", "proving")
"""Places that open only when everything is settled and answered."""


@dataclass(frozen=True)
class Remedy:
    """A blocker with the way to it: `href` is '' where this person can only wait."""

    sentence: str
    href: str
    remedy: str
    place: str


def address_of(number: str, blocker: Blocker) -> str:
    """The address where the blocker is mended; the key becomes a step of the path or a mark on the page."""
    page, key = f"/overhauls/{number}", quote(blocker.key)
    match blocker.place:
        case "hold" | "exit":
            return f"{page}#{blocker.place}"
        case "examination" if key:
            return f"{page}/examination/{key}"
        case "settlement" | "concession" | "agreement":
            return f"{page}/settlement{f'#part-{key}' if key else ''}"
        case "rebuild":
            return f"{page}/rebuild{f'#task-{key}' if key else ''}"
        case place:
            return f"{page}/{place}"


def remedy_of(number: str, blocker: Blocker, role: Role) -> Remedy:
    """The blocker as a line with its link, or with the words for whom to wait."""
    word, waiting = _words(blocker, role)
    href = "" if waiting else address_of(number, blocker)
    return Remedy(blocker.sentence, href, waiting or word, blocker.place)


def remedies(number: str, blockers: Iterable[Blocker], role: Role) -> tuple[Remedy, ...]:
    """Every blocker with its way, in the gate's order."""
    return tuple(remedy_of(number, blocker, role) for blocker in blockers)


def next_step(lines: Iterable[Remedy]) -> Remedy | None:
    """The first that this person can mend now.

    A hold stops everything else, and nothing is rebuilt while an answer is waited for.
    """
    waiting = False
    for line in lines:
        if waiting and line.place in _AFTER_AGREEMENT:
            return None
        if line.href:
            return line
        if line.place == "hold":
            return None
        waiting = True
    return None


def _words(blocker: Blocker, role: Role) -> tuple[str, str]:
    """What the link says, and for whom this person waits ('' where it is theirs to do)."""
    manager = role is Role.MANAGER
    for_manager = "" if manager else "Waits for a manager"
    match blocker.place:
        case "hold":
            return "Lift the hold", for_manager
        case "strip":
            return "Strip and clean", ""
        case "examination":
            return "Examine", ""
        case "settlement":
            return "Settle the part", ""
        case "concession":
            return "Decide the concession", for_manager
        case "agreement":
            return "See the proposal", "Waits for the ship's office"
        case "rebuild":
            return "Rebuild", ""
        case "proving":
            return "Prove on the rig", ""
        case "exit" if blocker.code == "to-condemn":
            return "Condemn", for_manager
        case _:
            return "", "Nothing more to do"
