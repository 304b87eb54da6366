"""What a seat's metal bears: the recuts of this overhaul against the workshop's own cuts on the type, in words."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import plain
from service.workshop.recuts import Forecast, RecutsLikely, RemainingMetal, TooFewCuts, recuts_likely
from service.workshop.seat_metal import MeasuredSize, SeatMetal, SeatRecut


@dataclass(frozen=True, kw_only=True)
class RecutOutlook:
    """One seat with its forecast; `forecast` None where no size is known, or rework does not draw near the limit."""

    metal: SeatMetal
    forecast: Forecast | None
    warning: str
    """What must be said before a recut is made; '' where the metal bears one."""

    @property
    def remaining_words(self) -> str:
        """What is left, with its uncertainty."""
        left = self.metal.remaining
        if self.metal.measured is None or left is None:
            return "Reworked, and not measured since." if self.metal.waits_for_size else "Not measured yet."
        limit, u = plain(self.metal.limit_mm), plain(left.expanded_uncertainty_mm)
        if left.remaining_mm < 0:
            return f"{plain(-left.remaining_mm)} mm past the rework limit of {limit} mm (U = {u} mm)."
        return f"{plain(left.remaining_mm)} mm to the rework limit of {limit} mm (U = {u} mm)."

    @property
    def forecast_words(self) -> str:
        """How many more recuts are likely and what that rests on; '' without a forecast."""
        match self.forecast:
            case None:
                return ""
            case RecutsLikely():
                return f"Likely, no promise: {self.forecast.sentence}"
            case TooFewCuts():
                return f"More recuts: {self.forecast.sentence[0].lower()}{self.forecast.sentence[1:]}"


def cuts_of(seats: Iterable[SeatMetal]) -> tuple[Decimal, ...]:
    """The depths (mm) of every recut that took metal towards the limit.

    Where rework brings a size back from its limit, a step towards it counts only beyond the doubt of its two sizes.
    """
    return tuple(
        depth
        for seat in seats
        for recut in seat.recuts
        if (depth := recut.depth_mm(seat.side)) is not None and (seat.each_cut_nears or depth > _doubt(recut))
    )


def recut_outlook(metal: SeatMetal, depths_mm: Sequence[Decimal] | None) -> RecutOutlook:
    """The forecast from the workshop's own cuts on the type (mm), and what to say before another one is made.

    None for the cuts: nobody asks for a forecast here.
    """
    left = metal.remaining
    if left is None or depths_mm is None or not (metal.each_cut_nears or depths_mm):
        return RecutOutlook(metal=metal, forecast=None, warning="" if left is None else _worn_past(left))
    try:
        forecast = recuts_likely(left, depths_mm)
    except MetrologyError as absurd:
        return RecutOutlook(metal=metal, forecast=None, warning=absurd.sentence)
    return RecutOutlook(metal=metal, forecast=forecast, warning=_warning(left, forecast, depths_mm))


def recut_words(recut: SeatRecut, metal: SeatMetal) -> str:
    """One recut in a sentence: from which size to which, and what it took."""
    if recut.after is None:
        return f"{_size(recut.before)}, then reworked: not measured since."
    moved = recut.moved_mm(metal.side)
    if moved is None:
        return f"New part, {_size(recut.after)} after rework."
    sizes = f"{_size(recut.before)} before, {_size(recut.after)} after"
    if moved > 0:
        return f"{sizes}: {plain(moved)} mm taken towards the rework limit."
    if moved < 0:
        return f"{sizes}: brought back by {plain(-moved)} mm."
    return f"{sizes}: nothing taken."


def _size(size: MeasuredSize | None) -> str:
    return "size not known" if size is None else f"{size.size_mm:f} mm"


def _doubt(recut: SeatRecut) -> Decimal:
    """Expanded uncertainty of a depth from two sizes taken as uncorrelated, mm."""
    sizes = [one.expanded_uncertainty_mm for one in (recut.before, recut.after) if one is not None]
    return sum((u * u for u in sizes), Decimal(0)).sqrt()


def _worn_past(left: RemainingMetal) -> str:
    if left.remaining_mm < 0:
        return "The rework limit is passed: no metal is left to rework this."
    return ""


def _warning(left: RemainingMetal, forecast: Forecast, depths_mm: Sequence[Decimal]) -> str:
    if left.remaining_mm <= 0:
        return "A recut would leave no metal: the rework limit is reached."
    if left.proven_mm == 0:
        return "A recut may leave no metal: what is left is no more than its uncertainty."
    deepest = max(depths_mm, default=Decimal(0))
    grounds = f"{plain(left.remaining_mm)} mm is left and the workshop's cuts on this type took"
    if min(depths_mm, default=Decimal(0)) > left.possible_mm:
        return f"A recut would leave no metal: {grounds} {plain(min(depths_mm))} mm or more."
    risky = forecast.careful == 0 if isinstance(forecast, RecutsLikely) else deepest > left.proven_mm
    return f"A recut may leave no metal: {grounds} up to {plain(deepest)} mm." if risky else ""
