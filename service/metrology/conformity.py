"""Three verdicts on a measured value, not two: ISO 14253-1 and JCGM 106.

Near a limit a measurement proves neither conformity nor its opposite. The guard band w says how near is too
near: w = guard factor · U, with U the expanded uncertainty of the value. Clause numbers from memory.
"""

import math
from dataclasses import dataclass
from decimal import Decimal
from typing import ClassVar

from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import field_in_words, plain

SIMPLE_ACCEPTANCE = "JCGM 106:2012, 8.2, simple acceptance"
GUARDED_ACCEPTANCE = "ISO 14253-1:2017, JCGM 106:2012, 8.3.2, guarded acceptance"
GUARDED_REJECTION = "ISO 14253-1:2017, JCGM 106:2012, 8.3.3, guarded rejection"
NEITHER_PROVEN = "ISO 14253-1:2017, neither conformity nor nonconformity is proven"


@dataclass(frozen=True, slots=True)
class _Judged:
    """A value with the limits and the guard band it was judged by, all in one unit, and the clause applied."""

    name: ClassVar[str]

    value: Decimal
    lower: Decimal | None
    upper: Decimal | None
    guard_band: Decimal
    clause: str

    @property
    def zone_too_narrow(self) -> bool:
        """Whether the two limits leave no room for the guard bands, so that no value could conform."""
        if self.lower is None or self.upper is None:
            return False
        return self.upper - self.lower < 2 * self.guard_band

    @property
    def excess(self) -> Decimal:
        """How far beyond the nearer limit, in the value's unit; negative inside, zero on the limit itself."""
        below = None if self.lower is None else self.lower - self.value
        above = None if self.upper is None else self.value - self.upper
        return max(side for side in (below, above) if side is not None)


@dataclass(frozen=True, slots=True)
class Conforms(_Judged):
    """Inside every limit by at least the guard band."""

    name: ClassVar[str] = "conforms"


@dataclass(frozen=True, slots=True)
class NotProven(_Judged):
    """Nearer to a limit than the guard band, on either side of it: not a pass."""

    name: ClassVar[str] = "not-proven"


@dataclass(frozen=True, slots=True)
class DoesNotConform(_Judged):
    """Outside a limit by at least the guard band."""

    name: ClassVar[str] = "does-not-conform"

    @property
    def above_upper(self) -> bool:
        """Whether the value is too large; otherwise it is too small."""
        return self.upper is not None and self.value > self.upper


Verdict = Conforms | NotProven | DoesNotConform


def judge(
    value: Decimal,
    lower: Decimal | None,
    upper: Decimal | None,
    expanded_uncertainty: Decimal,
    guard_factor: Decimal,
) -> Verdict:
    """Judge a value against one or two limits, all in one unit; guard band w = guard_factor · U.

    On the edges: a value exactly w inside a limit conforms, exactly w outside does not conform. With w = 0
    (no uncertainty, or simple acceptance) the limit itself conforms and every value is proven either way.
    A zone narrower than two guard bands never conforms: inside it the verdict is not proven, and
    `zone_too_narrow` says that no value could have been better.

    Raises MetrologyError: `limits-missing`, `limits-crossed`, `value-not-finite`, `uncertainty-negative`.
    """
    _check(value, lower, upper, expanded_uncertainty, guard_factor)
    guard_band = expanded_uncertainty * guard_factor
    inside = (lower is None or value - lower >= guard_band) and (upper is None or upper - value >= guard_band)
    if inside:
        clause = GUARDED_ACCEPTANCE if guard_band else SIMPLE_ACCEPTANCE
        return Conforms(value, lower, upper, guard_band, clause)
    outside = (lower is not None and lower - value >= guard_band and value < lower) or (
        upper is not None and value - upper >= guard_band and value > upper
    )
    if outside:
        clause = GUARDED_REJECTION if guard_band else SIMPLE_ACCEPTANCE
        return DoesNotConform(value, lower, upper, guard_band, clause)
    return NotProven(value, lower, upper, guard_band, NEITHER_PROVEN)


def standard_uncertainty(expanded_uncertainty: Decimal, coverage_factor: Decimal) -> Decimal:
    """u = U / k, in the unit of U: JCGM 100 (GUM), 6.2.1.

    Raises MetrologyError with code `coverage-factor-not-positive`.
    """
    if not coverage_factor.is_finite() or coverage_factor <= 0:
        raise MetrologyError(
            "coverage-factor-not-positive",
            f"The coverage factor k is {plain(coverage_factor)}: give the k of the expanded uncertainty, usually 2.",
            "k",
        )
    return expanded_uncertainty / coverage_factor


def probability_of_conformity(
    value: Decimal, lower: Decimal | None, upper: Decimal | None, standard_uncertainty: Decimal
) -> float:
    """Probability 0 to 1 that the true value lies inside the limits: JCGM 106:2012, 7.2 and 7.4.

    The value's distribution is taken as normal with the standard uncertainty u = U / k, and nothing else is
    known of the part. With u = 0 it is 1 inside (the limit included) and 0 outside. Raises as `judge` does.
    """
    _check(value, lower, upper, standard_uncertainty, Decimal(0))
    if standard_uncertainty == 0:
        return float((lower is None or value >= lower) and (upper is None or value <= upper))
    below = None if lower is None else float((lower - value) / standard_uncertainty)
    above = None if upper is None else float((upper - value) / standard_uncertainty)
    if below is None:
        return _tail(-above) if above is not None else 1.0
    if above is None:
        return _tail(below)
    # From the side where the tails are small: a difference of two values near 1 would lose the digits.
    if below >= 0:
        return _tail(below) - _tail(above)
    if above <= 0:
        return _tail(-above) - _tail(-below)
    return 1.0 - _tail(-below) - _tail(above)


def _tail(deviations: float) -> float:
    """Probability that a standard normal variable is larger than this many standard deviations."""
    return math.erfc(deviations / math.sqrt(2.0)) / 2.0


def _check(
    value: Decimal,
    lower: Decimal | None,
    upper: Decimal | None,
    uncertainty: Decimal,
    guard_factor: Decimal,
) -> None:
    if lower is None and upper is None:
        raise MetrologyError("limits-missing", "There is no limit to judge by: give a lower or an upper one.")
    for field, number in (("value", value), ("lower", lower), ("upper", upper)):
        if number is not None and not number.is_finite():
            raise MetrologyError("value-not-finite", f"The {field} is {number}: give a plain number.", field)
    if lower is not None and upper is not None and lower > upper:
        raise MetrologyError(
            "limits-crossed",
            f"The lower limit {plain(lower)} is above the upper limit {plain(upper)}: exchange or correct them.",
            "lower",
        )
    for field, number in (("expanded_uncertainty", uncertainty), ("guard_factor", guard_factor)):
        if not number.is_finite() or number < 0:
            raise MetrologyError(
                "uncertainty-negative",
                f"{field_in_words(field)} is {plain(number)}: give zero or a positive number.",
                field,
            )
