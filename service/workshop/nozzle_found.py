"""What the gauge pins made of the spray holes of one nozzle: kept with the verdict and never worked out anew."""

from dataclasses import dataclass
from decimal import Decimal

from service.workshop.vocabulary import VerdictKind


@dataclass(frozen=True, kw_only=True)
class Bounded:
    """A value with its expanded uncertainty (k = 2), and the least and the most that the pins leave possible."""

    value: Decimal
    uncertainty: Decimal
    least: Decimal
    most: Decimal


@dataclass(frozen=True, kw_only=True)
class HoleFound:
    """One hole in mm: the bracket by the pins' diameters, the bracket widened by their U, its middle; None is open."""

    hole: int
    verdict: VerdictKind
    entering: Decimal | None
    refused: Decimal | None
    lower: Decimal | None
    upper: Decimal | None
    best: Decimal | None
    uncertainty: Decimal | None
    """Expanded uncertainty of the middle, k = 2."""


@dataclass(frozen=True, kw_only=True)
class NozzleFound:
    """Every hole, and what they make together; None where a hole is open to one side or the sheet has no nominal size.

    Spread in mm, areas in mm², `of_nominal` in per cent of the nominal area, `since_new` the change in per cent.
    """

    holes: tuple[HoleFound, ...]
    calibrated: bool
    """Whether the pins' calibrated diameters counted; False: the sizes marked on them."""
    spread: Bounded | None = None
    area: Bounded | None = None
    nominal_area: Decimal | None = None
    of_nominal: Bounded | None = None
    since_new: Bounded | None = None

    @property
    def open_holes(self) -> tuple[int, ...]:
        """Holes whose size is open to one side, so that nothing can be added up."""
        return tuple(one.hole for one in self.holes if one.best is None)
