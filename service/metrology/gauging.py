"""Gauge pins in one hole: from the pins tried to the bracket that holds the hole's size."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import plain


@dataclass(frozen=True, slots=True)
class PinPass:
    """One pin tried in one hole: its size in millimetres and whether it entered."""

    pin_mm: Decimal
    enters: bool


@dataclass(frozen=True, slots=True)
class HoleBracket:
    """What the pins say of a hole: at least the largest that enters, less than the smallest that does not.

    Millimetres; None where no pin of that kind was tried, so that side of the size is open.
    """

    largest_entering_mm: Decimal | None
    smallest_refused_mm: Decimal | None

    @property
    def width_mm(self) -> Decimal | None:
        """How much the pins leave open, millimetres; None while one side is open."""
        if self.largest_entering_mm is None or self.smallest_refused_mm is None:
            return None
        return self.smallest_refused_mm - self.largest_entering_mm


def bracket_hole(hole: str, passes: Sequence[PinPass]) -> HoleBracket:
    """The bracket of one hole's size from its pin passes, in any order.

    The same pin may be tried twice with the same answer. Raises MetrologyError with code `hole-not-gauged`
    without a pass, `pin-size-not-positive`, or `pins-contradict` when a pin enters and one of its own size
    or smaller does not: no hole does that, so a pin was mixed up or dirt was in the way.
    """
    if not passes:
        raise MetrologyError("hole-not-gauged", f"Hole {hole} has no pin tried in it: try a pin.", "pins")
    for tried in passes:
        if not tried.pin_mm.is_finite() or tried.pin_mm <= 0:
            raise MetrologyError(
                "pin-size-not-positive",
                f"Hole {hole} has a pin of {plain(tried.pin_mm)} mm: enter the size marked on the pin.",
                "pins",
            )
    entering = max((tried.pin_mm for tried in passes if tried.enters), default=None)
    refused = min((tried.pin_mm for tried in passes if not tried.enters), default=None)
    if entering is not None and refused is not None and refused <= entering:
        raise MetrologyError("pins-contradict", _contradiction(hole, entering, refused), "pins")
    return HoleBracket(entering, refused)


def _contradiction(hole: str, entering: Decimal, refused: Decimal) -> str:
    if entering == refused:
        return (
            f"Hole {hole}: the {plain(entering)} mm pin is recorded both as entering and as not entering; "
            "clean the hole and try that pin again."
        )
    return (
        f"Hole {hole}: the {plain(entering)} mm pin enters but the smaller {plain(refused)} mm pin does not; "
        "clean the hole, check both pins and try them again."
    )
