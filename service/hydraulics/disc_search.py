"""The fewest discs that bring an opening pressure into its band: an exact search with every tie.

Thicknesses are whole µm and the band is turned into a window of whole µm first, so nothing is compared in binary
floats. Which sums can be reached with how many discs is kept as one long integer for each number of discs, a bit for
each µm; the sets themselves are then spelled out only along branches that end in the window.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cached_property
from itertools import islice
from math import ceil, floor

from service.hydraulics.disc_stock import StockedDisc, micrometres, stock_of
from service.hydraulics.errors import HydraulicsError
from service.metrology.typed_numbers import plain

MOST_ALLOWED = 20
MOST_FITTED = 12
MOST_SETS = 2000
_UM_PER_MM = 1000


@dataclass(frozen=True, slots=True)
class PressureBand:
    """Where the opening pressure is wanted, and between which limits it is taken, bar; a limit itself is allowed."""

    lower_bar: Decimal
    target_bar: Decimal
    upper_bar: Decimal


@dataclass(frozen=True, slots=True)
class DiscSet:
    """Discs to put in and to take out, whole µm, the thickest first, and the pressure that is expected then, bar."""

    added_um: tuple[int, ...]
    removed_um: tuple[int, ...]
    expected_bar: Decimal

    @property
    def change_um(self) -> int:
        """What the spring is compressed by more, µm; negative: less."""
        return sum(self.added_um) - sum(self.removed_um)


@dataclass(frozen=True)
class DiscTask:
    """What is asked: pressure now, band, bar for each mm of disc, stock, discs added before, most of them allowed."""

    now_bar: Decimal
    band: PressureBand
    bar_per_mm: Decimal
    stock: tuple[StockedDisc, ...]
    fitted_um: tuple[int, ...]
    most: int

    @cached_property
    def window_um(self) -> tuple[int, int]:
        """The least and the largest change, whole µm, that ends in the band; empty where the first is the larger."""
        slope = Fraction(self.bar_per_mm) / _UM_PER_MM
        now = Fraction(self.now_bar)
        return (
            ceil((Fraction(self.band.lower_bar) - now) / slope),
            floor((Fraction(self.band.upper_bar) - now) / slope),
        )

    def expected_bar(self, change_um: int) -> Decimal:
        """The pressure after that change, bar."""
        return self.now_bar + self.bar_per_mm * change_um / _UM_PER_MM


def disc_task(
    now_bar: Decimal,
    band: PressureBand,
    bar_per_mm: Decimal,
    stock: Sequence[StockedDisc],
    fitted_um: Sequence[int] = (),
    most: int = 5,
) -> DiscTask:
    """The question, checked. `fitted_um` are discs added before, which may come out again; they count against `most`.

    Raises HydraulicsError with code `pressure-not-positive`, `limits-crossed`, `slope-not-positive`,
    `disc-thickness`, `stock-too-long`, `too-many-fitted` or `disc-count-negative`, naming the field.
    """
    for field, value in (("now", now_bar), ("target", band.target_bar)):
        if not (value.is_finite() and 0 < value <= 3000):
            raise HydraulicsError(
                "pressure-not-positive",
                f"The pressure reads {plain(value)} bar, but lies above 0 and up to 3000 bar: check it.",
                field,
            )
    if not band.lower_bar <= band.target_bar <= band.upper_bar:
        raise HydraulicsError(
            "limits-crossed", "The pressure aimed at lies outside its own band: check the tolerance.", "tolerance"
        )
    if not (bar_per_mm.is_finite() and 0 < bar_per_mm <= 1_000_000):
        raise HydraulicsError(
            "slope-not-positive",
            f"{plain(bar_per_mm)} bar for each mm of disc cannot be: a disc raises the pressure. Give more than 0.",
            "bar_per_mm",
        )
    if not 0 <= most <= MOST_ALLOWED:
        raise HydraulicsError("disc-count-negative", f"Give 0 to {MOST_ALLOWED} discs as the most allowed.", "max")
    if len(fitted_um) > MOST_FITTED:
        raise HydraulicsError("too-many-fitted", f"More than {MOST_FITTED} discs fitted: check the list.", "fitted")
    for um in fitted_um:
        micrometres(Decimal(um) / _UM_PER_MM, "fitted")
    return DiscTask(now_bar, band, bar_per_mm, stock_of(stock), tuple(fitted_um), most)


def fewest_discs(task: DiscTask) -> tuple[DiscSet, ...]:
    """Every set with the fewest discs put in or taken out that ends in the band; none where no set can.

    First come the sets that put in fewer, then the nearest to the pressure aimed at. A pressure that is in its band
    already is answered by one empty set. Raises HydraulicsError with code `too-many-sets` over 2,000 ties.
    """
    low, high = task.window_um
    if low > high:
        return ()
    put_in = _Sums(tuple(disc for disc in task.stock), task.most + len(task.fitted_um))
    counted = Counter(task.fitted_um)
    taken_out = _Sums(tuple(StockedDisc(um, count) for um, count in sorted(counted.items())), len(task.fitted_um))
    for touched in range(task.most + 2 * len(task.fitted_um) + 1):
        every = (
            DiscSet(added, removed, task.expected_bar(sum(added) - sum(removed)))
            for out in range(min(touched, len(task.fitted_um)) + 1)
            if len(task.fitted_um) - out + (touched - out) <= task.most
            for removed in taken_out.sets(out, 0, taken_out.largest)
            for added in put_in.sets(touched - out, low + sum(removed), high + sum(removed))
        )
        found = list(islice(every, MOST_SETS + 1))
        if len(found) > MOST_SETS:
            raise HydraulicsError(
                "too-many-sets",
                f"More than {MOST_SETS} sets of {touched} discs would do: narrow the tolerance.",
                "tolerance",
            )
        if found:
            return tuple(sorted(found, key=lambda one: _order(one, task.band.target_bar)))
    return ()


def _order(one: DiscSet, target_bar: Decimal) -> tuple[object, ...]:
    return len(one.added_um), abs(one.expected_bar - target_bar), one.removed_um, one.added_um


class _Sums:
    """Which sums a stock reaches with exactly so many discs, and the sets behind a sum."""

    def __init__(self, stock: tuple[StockedDisc, ...], most: int) -> None:
        self.discs = tuple(reversed(stock))  # the thickest first: sets read that way
        # reach[place][count]: the sums of exactly `count` discs of those from `place` on, a bit for each µm.
        reach = [[1] + [0] * most]
        for disc in stock:
            pieces = most if disc.count is None else min(disc.count, most)
            after = reach[0]
            here = [0] * (most + 1)
            for count in range(most + 1):
                for taken in range(min(count, pieces) + 1):
                    here[count] |= after[count - taken] << (taken * disc.thickness_um)
            reach.insert(0, here)
        self.reach = reach
        self.largest = max((sums.bit_length() for sums in reach[0]), default=1)

    def sets(self, count: int, low: int, high: int, place: int = 0) -> Iterator[tuple[int, ...]]:
        """Every set of exactly `count` discs with a sum from `low` to `high` µm."""
        if count >= len(self.reach[0]) or high < 0 or not self._any(place, count, low, high):
            return
        if place == len(self.discs):
            yield ()
            return
        disc = self.discs[place]
        pieces = count if disc.count is None else min(count, disc.count)
        for taken in range(pieces, -1, -1):
            thickness = taken * disc.thickness_um
            for rest in self.sets(count - taken, low - thickness, high - thickness, place + 1):
                yield (disc.thickness_um,) * taken + rest

    def _any(self, place: int, count: int, low: int, high: int) -> bool:
        first = max(low, 0)
        return high >= first and (self.reach[place][count] >> first) & ((1 << (high - first + 1)) - 1) != 0
