"""Recuts of a seat: before and after, the metal that remains, and how many more cuts it is likely to bear.

Sizes in Decimal millimetres. A cut's depth is the change of the measured size itself (of a diameter: on diameter).
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, ROUND_HALF_EVEN, ROUND_UP, Decimal
from enum import StrEnum

from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import plain

ENOUGH_CUTS = 9
"""From so many cuts on there is an answer: of ten cuts alike in kind the last is the deepest with a probability of
one in ten, so fewer than nine before it cannot speak for the 90 % that the careful figure promises."""

MOST_RECUTS = 40
"""No seat is recut more often; a forecast that gets there says `at least`."""

_UM = 1_000
_MOST_REMAINING_UM = 20_000
_CAREFUL, _EVEN, _HOPEFUL = 90, 50, 10


class LimitSide(StrEnum):
    """On which side of the size the limit stands that recuts draw near to."""

    UPPER = "upper"
    LOWER = "lower"


@dataclass(frozen=True, kw_only=True)
class Recut:
    """One recut as measured: the size before and after, mm."""

    before_mm: Decimal
    after_mm: Decimal


@dataclass(frozen=True, kw_only=True)
class RemainingMetal:
    """What is left to the limit with the expanded uncertainty of that, mm; negative when the limit is passed."""

    remaining_mm: Decimal
    expanded_uncertainty_mm: Decimal

    @property
    def proven_mm(self) -> Decimal:
        """What is left in spite of the uncertainty; never under zero."""
        return max(self.remaining_mm - self.expanded_uncertainty_mm, Decimal(0))

    @property
    def possible_mm(self) -> Decimal:
        """What may be left at best; never under zero."""
        return max(self.remaining_mm + self.expanded_uncertainty_mm, Decimal(0))


@dataclass(frozen=True, kw_only=True)
class RecutsLikely:
    """How many more recuts, as a range: so many fit with at least 90 %, 50 % and 10 %.

    `careful` counts on the proven metal, `even` on the measured, `hopeful` on what is possible at best.
    `capped` says that the hopeful figure stopped at `MOST_RECUTS`.
    """

    careful: int
    even: int
    hopeful: int
    cuts: int
    shallowest_mm: Decimal
    deepest_mm: Decimal
    capped: bool

    @property
    def sentence(self) -> str:
        """The range in words."""
        grounds = (
            f"going by {self.cuts} cuts of {plain(self.shallowest_mm)} to {plain(self.deepest_mm)} mm on this type."
        )
        if self.capped:
            return f"{_recuts(self.careful, 'at least ')}, {grounds}"
        if self.careful == self.hopeful:
            return f"{_recuts(self.careful)}, {grounds}"
        return f"{self.careful} to {_recuts(self.hopeful)}, {self.even} as likely as not, {grounds}"


@dataclass(frozen=True, kw_only=True)
class TooFewCuts:
    """The workshop has not cut this type often enough to say."""

    cuts: int
    needed: int

    @property
    def sentence(self) -> str:
        """Why there is no number, in words."""
        return (
            f"Not known: {self.cuts} recut{'' if self.cuts == 1 else 's'} of this type on record, "
            f"and a forecast needs {self.needed}."
        )


Forecast = RecutsLikely | TooFewCuts


def depth_mm(recut: Recut, side: LimitSide) -> Decimal:
    """What a recut took away, mm, towards the limit: after − before to an upper limit, before − after to a lower.

    Raises MetrologyError `size-not-positive` or `recut-adds-metal` (also when nothing was taken) on `after`.
    """
    for field, size in (("before", recut.before_mm), ("after", recut.after_mm)):
        if not size.is_finite() or size <= 0:
            raise MetrologyError(
                "size-not-positive", f"The size {field} the recut is {plain(size)} mm: measure it again.", field
            )
    taken = recut.after_mm - recut.before_mm if side is LimitSide.UPPER else recut.before_mm - recut.after_mm
    if taken <= 0:
        towards = "larger" if side is LimitSide.UPPER else "smaller"
        raise MetrologyError(
            "recut-adds-metal",
            f"A recut makes this size {towards}, but {plain(recut.before_mm)} mm became {plain(recut.after_mm)} mm: "
            "check both readings.",
            "after",
        )
    return taken


def remaining_metal(
    size_mm: Decimal, limit_mm: Decimal, side: LimitSide, expanded_uncertainty_mm: Decimal
) -> RemainingMetal:
    """What is left to the limit, mm. The limit is a figure of the sheet without doubt, so U is that of the size.

    Raises MetrologyError `size-not-positive` or `uncertainty-negative`.
    """
    for field, size in (("size", size_mm), ("limit", limit_mm)):
        if not size.is_finite() or size <= 0:
            raise MetrologyError("size-not-positive", f"The {field} is {plain(size)} mm: give over zero.", field)
    if not expanded_uncertainty_mm.is_finite() or expanded_uncertainty_mm < 0:
        raise MetrologyError(
            "uncertainty-negative",
            f"U is {plain(expanded_uncertainty_mm)} mm: give zero or more.",
            "expanded_uncertainty",
        )
    left = limit_mm - size_mm if side is LimitSide.UPPER else size_mm - limit_mm
    return RemainingMetal(remaining_mm=left, expanded_uncertainty_mm=expanded_uncertainty_mm)


def recuts_likely(metal: RemainingMetal, depths_mm: Sequence[Decimal]) -> Forecast:
    """How many more recuts the metal bears, from the depths of the workshop's own cuts on this type.

    n cuts fit when their sum is not more than the metal. The sum of n cuts drawn from those on record is convolved
    exactly, in whole micrometres and whole counts: the same record gives the same answer, without chance.
    Depths are rounded up to the next micrometre, the metal down. The cuts are taken as independent and future
    ones as like the past; the measuring error within the depths stays in, which widens the range a little.

    Raises MetrologyError `cut-not-positive` or `metal-absurd` (over 20 mm).
    """
    if len(depths_mm) < ENOUGH_CUTS:
        return TooFewCuts(cuts=len(depths_mm), needed=ENOUGH_CUTS)
    if any(not depth.is_finite() or depth <= 0 for depth in depths_mm):
        raise MetrologyError("cut-not-positive", "A cut on record takes nothing away: check its sizes.", "depths")
    metal_um = [
        _whole_um(left, ROUND_FLOOR)
        for left in (metal.proven_mm, max(metal.remaining_mm, Decimal(0)), metal.possible_mm)
    ]
    if max(metal_um) > _MOST_REMAINING_UM:
        raise MetrologyError(
            "metal-absurd", "Over 20 mm of metal on a seat cannot be: check the size and the limit.", "remaining"
        )
    depths_um = [_whole_um(depth, ROUND_UP) for depth in depths_mm]
    # So much metal bears the most recuts whatever they take: more of it changes no answer, only the work.
    enough_um = MOST_RECUTS * max(depths_um)
    careful, even, hopeful = _most_cuts(depths_um, [min(left, enough_um) for left in metal_um])
    return RecutsLikely(
        careful=careful,
        even=even,
        hopeful=hopeful,
        cuts=len(depths_mm),
        shallowest_mm=min(depths_mm),
        deepest_mm=max(depths_mm),
        capped=hopeful >= MOST_RECUTS,
    )


def chance_that_cuts_fit(depths_mm: Sequence[Decimal], count: int, metal_mm: Decimal) -> Decimal:
    """Probability that `count` cuts drawn from the depths on record take no more than the metal; to six decimals.

    Raises MetrologyError `cut-not-positive` for no depth, or one of zero or less, and `recuts-out-of-range` for
    a count under 0 or over `MOST_RECUTS`.
    """
    if not 0 <= count <= MOST_RECUTS:
        raise MetrologyError("recuts-out-of-range", f"Ask for 0 to {MOST_RECUTS} recuts, not for {count}.", "count")
    if not depths_mm or any(not depth.is_finite() or depth <= 0 for depth in depths_mm):
        raise MetrologyError("cut-not-positive", "A cut on record takes nothing away: check its sizes.", "depths")
    sums = _Sums([_whole_um(depth, ROUND_UP) for depth in depths_mm], _whole_um(max(metal_mm, Decimal(0)), ROUND_FLOOR))
    for _ in range(count):
        sums.one_more()
    chance = Decimal(sums.ways_within(sums.largest_um)) / Decimal(sums.ways)
    return chance.quantize(Decimal("0.000001"), rounding=ROUND_HALF_EVEN)


def _recuts(count: int, before: str = "") -> str:
    return f"{before}{count} more recut{'' if count == 1 else 's'}"


class _Sums:
    """In how many ways so many cuts add up to each number of micrometres, as one long whole number.

    Each sum has a field of bits of its own, wide enough that counts never run over: one multiplication of two
    such numbers is then the whole convolution, exact and quick.
    """

    def __init__(self, depths_um: Sequence[int], largest_um: int) -> None:
        self.largest_um = largest_um
        self.ways = 1
        self._cuts = len(depths_um)
        self._bits = len(depths_um).bit_length() * (MOST_RECUTS + 1)
        self._kept = (1 << (self._bits * (largest_um + 1))) - 1
        self._one_cut = sum(1 << (self._bits * depth) for depth in depths_um if depth <= largest_um)
        self._counts = 1

    def one_more(self) -> None:
        """Add one cut; sums beyond the metal fall away, since cuts only add."""
        self._counts = (self._counts * self._one_cut) & self._kept
        self.ways *= self._cuts

    def ways_within(self, metal_um: int) -> int:
        """How many of the ways take no more than this."""
        within = self._counts & ((1 << (self._bits * (metal_um + 1))) - 1)
        # The sum of a number's digits in base b is the number modulo b − 1, as long as that sum is smaller.
        return within % ((1 << self._bits) - 1)


def _most_cuts(depths_um: Sequence[int], metal_um: Sequence[int]) -> tuple[int, int, int]:
    """The largest numbers of cuts that fit into proven, measured and possible metal with 90, 50 and 10 %."""
    sums = _Sums(depths_um, max(metal_um))
    most = [0, 0, 0]
    for count in range(1, MOST_RECUTS + 1):
        sums.one_more()
        for place, (metal, percent) in enumerate(zip(metal_um, (_CAREFUL, _EVEN, _HOPEFUL), strict=True)):
            still_fits = most[place] == count - 1
            if still_fits and 100 * sums.ways_within(metal) >= percent * sums.ways:
                most[place] = count
        if max(most) < count:
            break
    return most[0], most[1], most[2]


def _whole_um(size_mm: Decimal, rounding: str) -> int:
    return int((size_mm * _UM).to_integral_value(rounding=rounding))
