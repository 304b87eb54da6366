"""The daily checks of test rigs in a recall: which rested on the instrument, with the way to each rig."""

from collections.abc import Sequence
from dataclasses import dataclass

from service.pages.recalls.shown import SHOWN
from service.pages.rendering import minute
from service.pages.test_rigs.places import place_of
from service.records.recalled_rig_checks import RecalledRigCheck


@dataclass(frozen=True)
class RigCheckRow:
    """One check; `mark` is how its verdict is drawn."""

    href: str
    rig: str
    made: str
    mark: str
    label: str


@dataclass(frozen=True)
class RigChecksShown:
    """The newest of `count` checks; `more` are left out."""

    count: int
    rows: tuple[RigCheckRow, ...]
    more: int


def rig_checks_shown(found: Sequence[RecalledRigCheck]) -> RigChecksShown | None:
    """None where no check rests on the instrument."""
    if not found:
        return None
    rows = tuple(_row(one) for one in found[:SHOWN])
    return RigChecksShown(len(found), rows, len(found) - len(rows))


def _row(one: RecalledRigCheck) -> RigCheckRow:
    good = one.check.good
    mark, label = ("conforms", "Good") if good else ("does-not-conform", "Not good")
    return RigCheckRow(place_of(one.rig), one.rig, f"{minute(one.at)}, {one.person}", mark, label)
