"""The spray holes of one nozzle from calibrated gauge pins: brackets, best estimates, spread, and what was recorded.

Millimetres throughout.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.metrology.errors import MetrologyError
from service.metrology.gauge_pins import CalibratedPin
from service.metrology.gauging import HoleBracket, PinPass, bracket_hole


@dataclass(frozen=True, slots=True)
class CalibratedPass:
    """One calibrated pin tried in one hole, and whether it entered."""

    pin: CalibratedPin
    enters: bool


@dataclass(frozen=True, slots=True)
class RecordedPass:
    """A pass as a page draws it; `contradicts` marks the passes that cannot be true together."""

    pin: CalibratedPin
    enters: bool
    contradicts: bool


@dataclass(frozen=True, slots=True)
class HoleSize:
    """One hole: the interval that holds its size, the best estimate, and how well that is known.

    `bracket` is made of calibrated diameters; `lower_mm` is the largest that enters less its U, `upper_mm` the
    smallest refused plus its U. A side without a pin is None. `passes` stand by their diameters, smallest first.
    """

    hole: str
    bracket: HoleBracket
    lower_mm: Decimal | None
    upper_mm: Decimal | None
    pins_standard_uncertainty_mm: Decimal
    passes: tuple[CalibratedPass, ...]

    @property
    def closed(self) -> bool:
        """Whether pins of both kinds were tried, so that the size is known from both sides."""
        return self.bracket.width_mm is not None

    @property
    def best_mm(self) -> Decimal | None:
        """The middle of the bracket, the expectation of a rectangle: JCGM 100, 4.3.7; None while it is open."""
        entering, refused = self.bracket.largest_entering_mm, self.bracket.smallest_refused_mm
        return None if entering is None or refused is None else (entering + refused) / 2

    @property
    def bracket_standard_uncertainty_mm(self) -> Decimal | None:
        """Width of the bracket ÷ √12: JCGM 100, 4.3.7, equation (7)."""
        width = self.bracket.width_mm
        return None if width is None else width / Decimal(12).sqrt()

    @property
    def standard_uncertainty_mm(self) -> Decimal | None:
        """The rectangle and the pins together: JCGM 100, 5.1.2; None while the bracket is open."""
        rectangle = self.bracket_standard_uncertainty_mm
        return None if rectangle is None else (rectangle**2 + self.pins_standard_uncertainty_mm**2).sqrt()


@dataclass(frozen=True, slots=True)
class HoleSpread:
    """Hole to hole: largest best estimate less smallest, its standard uncertainty, and what is certain of it.

    `least_mm` and `most_mm` bound the spread whatever the true sizes within their intervals are.
    """

    largest: HoleSize
    smallest: HoleSize
    spread_mm: Decimal
    standard_uncertainty_mm: Decimal
    least_mm: Decimal
    most_mm: Decimal


def as_recorded(passes: Sequence[CalibratedPass]) -> tuple[RecordedPass, ...]:
    """The passes of one hole for a drawing, smallest pin first, contradictions marked instead of refused.

    A refused pin contradicts when one of its own size or larger enters, and so does that entering one.
    """
    largest_in = max((one.pin.diameter_mm for one in passes if one.enters), default=None)
    smallest_out = min((one.pin.diameter_mm for one in passes if not one.enters), default=None)

    def contradicts(one: CalibratedPass) -> bool:
        size = one.pin.diameter_mm
        if one.enters:
            return smallest_out is not None and smallest_out <= size
        return largest_in is not None and size <= largest_in

    ordered = sorted(passes, key=lambda one: (one.pin.diameter_mm, not one.enters, one.pin.code))
    return tuple(RecordedPass(one.pin, one.enters, contradicts(one)) for one in ordered)


def hole_size(hole: str, passes: Sequence[CalibratedPass]) -> HoleSize:
    """The size of one hole from its passes, in any order; calibrated diameters count, not the marks.

    Pins of one set share their calibration, so the doubt of the two pins at the bracket is taken as fully
    correlated: u of the middle is (u_entering + u_refused) ÷ 2, JCGM 100, 5.2.2, on the safe side.
    Raises MetrologyError as `bracket_hole`: `hole-not-gauged`, `pins-contradict`.
    """
    bracket = bracket_hole(hole, [PinPass(one.pin.diameter_mm, one.enters) for one in passes])
    entering = _at(passes, bracket.largest_entering_mm, enters=True)
    refused = _at(passes, bracket.smallest_refused_mm, enters=False)
    at_bracket = [pin for pin in (entering, refused) if pin is not None]
    doubt = sum((pin.standard_uncertainty_mm for pin in at_bracket), Decimal(0)) / len(at_bracket)
    ordered = sorted(passes, key=lambda one: (one.pin.diameter_mm, one.pin.code))
    return HoleSize(
        hole,
        bracket,
        None if entering is None else entering.diameter_mm - entering.expanded_uncertainty_mm,
        None if refused is None else refused.diameter_mm + refused.expanded_uncertainty_mm,
        doubt,
        tuple(ordered),
    )


def nozzle_holes(passes_by_hole: Mapping[str, Sequence[CalibratedPass]]) -> tuple[HoleSize, ...]:
    """Every hole of a nozzle in the order given; raises MetrologyError as `hole_size`, naming the hole."""
    return tuple(hole_size(hole, passes) for hole, passes in passes_by_hole.items())


def hole_spread(holes: Sequence[HoleSize]) -> HoleSpread:
    """Spread of the holes of one nozzle. The pins' common doubt cancels in a difference, the rectangles do not.

    Raises MetrologyError `too-few-holes` for fewer than two, `hole-open` as `closed_sizes` does.
    """
    if len(holes) < 2:
        raise MetrologyError("too-few-holes", "A spread needs two holes: gauge one more.", "holes")
    sizes = dict(zip(closed_sizes(holes), holes, strict=True))
    largest, smallest = sizes[max(sizes)], sizes[min(sizes)]
    rectangles = [hole.bracket_standard_uncertainty_mm or Decimal(0) for hole in (largest, smallest)]
    doubt = sum((rectangle**2 for rectangle in rectangles), Decimal(0)).sqrt()
    lowers = [hole.lower_mm for hole in holes if hole.lower_mm is not None]
    uppers = [hole.upper_mm for hole in holes if hole.upper_mm is not None]
    return HoleSpread(
        largest,
        smallest,
        max(sizes) - min(sizes),
        doubt,
        max(max(lowers) - min(uppers), Decimal(0)),
        max(uppers) - min(lowers),
    )


def closed_sizes(holes: Sequence[HoleSize]) -> list[Decimal]:
    """The best estimates of holes that are all known from both sides, mm.

    Raises MetrologyError `hole-open`, naming every hole where a pin of one kind is missing, and which.
    """
    still_open = [
        f"hole {hole.hole} ({'smaller pin that enters' if hole.lower_mm is None else 'larger pin that does not enter'})"
        for hole in holes
        if not hole.closed
    ]
    if still_open:
        raise MetrologyError("hole-open", f"The size is open at {', '.join(still_open)}: try that pin.", "pins")
    return [hole.best_mm for hole in holes if hole.best_mm is not None]


def _at(passes: Sequence[CalibratedPass], diameter_mm: Decimal | None, *, enters: bool) -> CalibratedPin | None:
    """The pin at an end of the bracket; of two pins of one diameter the one that is known less well."""
    pins = [one.pin for one in passes if one.enters is enters and one.pin.diameter_mm == diameter_mm]
    return max(pins, key=lambda pin: pin.expanded_uncertainty_mm, default=None)
