"""The metal of one seat as an overhaul records it: the size before and after each recut, and what is left to the limit.

Of readings in several places the one nearest to the rework limit stands for the size: the metal ends there first. Of
repeats of one place their mean does. The uncertainty is that of the size when it was judged.
"""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from service.workshop.entries import Content, Examined, PartFitted, PartReworked
from service.workshop.examination.sizes import mean_reading
from service.workshop.limit_sheet import LimitSheet, SizeCharacteristic
from service.workshop.measurements import SizeMeasurement
from service.workshop.reading_budget import judged_with
from service.workshop.recuts import LimitSide, Recut, RemainingMetal, depth_mm, remaining_metal
from service.workshop.vocabulary import Disposition, Phase


@dataclass(frozen=True, kw_only=True)
class MeasuredSize:
    """One size with its expanded uncertainty, mm."""

    size_mm: Decimal
    expanded_uncertainty_mm: Decimal


@dataclass(frozen=True, kw_only=True)
class SeatRecut:
    """One rework of the part; `before` None where the part was new, `after` None until it is measured again."""

    method: str
    before: MeasuredSize | None
    after: MeasuredSize | None

    def moved_mm(self, side: LimitSide) -> Decimal | None:
        """How far the size came nearer to the rework limit, mm; negative where it was brought back from it."""
        if self.before is None or self.after is None:
            return None
        change = self.after.size_mm - self.before.size_mm
        return change if side is LimitSide.UPPER else -change

    def depth_mm(self, side: LimitSide) -> Decimal | None:
        """What the recut took towards the limit, mm; None where it took nothing or is not measured."""
        moved = self.moved_mm(side)
        if self.before is None or self.after is None or moved is None or moved <= 0:
            return None
        return depth_mm(Recut(before_mm=self.before.size_mm, after_mm=self.after.size_mm), side)


@dataclass(frozen=True, kw_only=True)
class SeatMetal:
    """The recuts of one overhaul in order; `measured` is None before a size is known, and since the last rework."""

    characteristic: str
    part: str
    title: str
    side: LimitSide
    limit_mm: Decimal
    each_cut_nears: bool
    """Whether the sheet lets no size be reworked back: its rework limit is its limit, and each cut draws near to it."""
    recuts: tuple[SeatRecut, ...]
    measured: MeasuredSize | None

    @property
    def waits_for_size(self) -> bool:
        """Whether the part was reworked and not measured since."""
        return bool(self.recuts) and self.measured is None and self.recuts[-1].after is None

    @property
    def remaining(self) -> RemainingMetal | None:
        """What is left to the rework limit with the expanded uncertainty of it."""
        if self.measured is None:
            return None
        return remaining_metal(self.measured.size_mm, self.limit_mm, self.side, self.measured.expanded_uncertainty_mm)

    @property
    def taken_mm(self) -> Decimal:
        """All that the recuts of this overhaul took towards the limit, mm."""
        depths = (recut.depth_mm(self.side) for recut in self.recuts)
        return sum((depth for depth in depths if depth is not None), Decimal(0))


def rework_side(item: SizeCharacteristic) -> LimitSide | None:
    """On which side the rework limit stands; None for a characteristic that knows none, or is no length."""
    if item.consequence is not Disposition.REWORK or item.rework_until is None or item.unit != "mm":
        return None
    if item.rework_until <= 0:
        return None
    lower, upper = item.limits.bounds
    if upper is not None and (lower is None or item.rework_until >= upper):
        return LimitSide.UPPER
    return LimitSide.LOWER


def seats_of(sheet: LimitSheet, part: str | None = None) -> tuple[SizeCharacteristic, ...]:
    """The sizes with a rework limit, in examination order, of one part or of all."""
    return tuple(
        item
        for item in sheet.characteristics
        if isinstance(item, SizeCharacteristic) and rework_side(item) is not None and part in (None, item.part)
    )


def renewed_by(sheet: LimitSheet, part: str) -> frozenset[str]:
    """What is fitted in place of the part: its own key and that of its matched assembly."""
    assembly = sheet.part_by_key[part].assembly if part in sheet.part_by_key else None
    return frozenset({part, assembly} if assembly else {part})


def seat_metal(contents: Iterable[Content], item: SizeCharacteristic, renewed_as: frozenset[str]) -> SeatMetal:
    """The recuts of one seat from an overhaul's entries in their order. `renewed_as`: keys that bring a new part.

    A finding corrected later counts as corrected; one judged again measured nothing. Reworks with no size between
    them are one recut. Raises ValueError where the characteristic has no rework limit.
    """
    side = rework_side(item)
    if side is None or item.rework_until is None:
        raise ValueError(f"{item.key} has no rework limit")
    told = tuple(contents)
    now, recuts, cut = _found(told, item, side), list[SeatRecut](), False
    for content in told:
        match content:
            case PartFitted(item=fitted) if fitted in renewed_as:
                now, cut = None, False
            case PartReworked(part=part, method=method) if part == item.part:
                if cut and recuts[-1].after is None:
                    recuts[-1] = replace(recuts[-1], method=f"{recuts[-1].method}; {method}")
                else:
                    recuts.append(SeatRecut(method=method, before=now, after=None))
                now, cut = None, True
            case Examined(phase=Phase.AFTER_REWORK) if (size := _size(content, item, side)) is not None:
                now = size
                if cut:
                    recuts[-1] = replace(recuts[-1], after=size)
            case _:
                pass
    return SeatMetal(
        characteristic=item.key,
        part=item.part,
        title=item.title,
        side=side,
        limit_mm=item.rework_until,
        each_cut_nears=_each_cut_nears(item, side, item.rework_until),
        recuts=tuple(recuts),
        measured=now,
    )


def _each_cut_nears(item: SizeCharacteristic, side: LimitSide, rework_until: Decimal) -> bool:
    """A size past its limit that may still be reworked must come back by it; where none may, each cut draws near."""
    lower, upper = item.limits.bounds
    if side is LimitSide.UPPER:
        return upper is None or rework_until <= upper
    return lower is None or rework_until >= lower


def _found(told: tuple[Content, ...], item: SizeCharacteristic, side: LimitSide) -> MeasuredSize | None:
    found = None
    for content in told:
        if isinstance(content, Examined) and content.phase is Phase.FOUND:
            found = _size(content, item, side) or found
    return found


def _size(content: Examined, item: SizeCharacteristic, side: LimitSide) -> MeasuredSize | None:
    measured = content.measurement
    if content.characteristic != item.key or not isinstance(measured, SizeMeasurement):
        return None
    if content.rejudged_from is not None or not measured.readings:
        return None
    if item.repeats:
        size = mean_reading(measured.readings)
    else:
        size = max(measured.readings) if side is LimitSide.UPPER else min(measured.readings)
    budget = judged_with(content)
    doubt = measured.instrument.expanded_uncertainty if budget is None else budget.expanded
    return MeasuredSize(size_mm=size, expanded_uncertainty_mm=doubt)
