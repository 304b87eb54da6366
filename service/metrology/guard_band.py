"""How wide the guard band is: none, a multiple of U, a fixed width, or as wide as a probability asks for.

JCGM 106:2012, 8.3; ISO 14253-1:2017. Clause numbers from memory. One unit for value, limits and widths.
"""

from dataclasses import dataclass
from decimal import ROUND_UP, Decimal

from service.metrology.conformity import (
    Conforms,
    DoesNotConform,
    NotProven,
    judge,
    probability_of_conformity,
)
from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import plain


@dataclass(frozen=True, slots=True)
class NoGuardBand:
    """Simple acceptance, the shared risk: JCGM 106:2012, 8.2."""


@dataclass(frozen=True, slots=True)
class FactorOfU:
    """w = factor · U; factor 1 is the default of ISO 14253-1."""

    factor: Decimal = Decimal(1)


@dataclass(frozen=True, slots=True)
class FixedWidth:
    """w as it was agreed, in the unit of the limits."""

    width: Decimal


@dataclass(frozen=True, slots=True)
class TargetProbability:
    """w so wide that a value on the edge of acceptance conforms with this probability, over 0.5 and under 1."""

    probability: Decimal


GuardBand = NoGuardBand | FactorOfU | FixedWidth | TargetProbability


def guard_band_width(
    rule: GuardBand,
    expanded_uncertainty: Decimal,
    k: Decimal,
    lower: Decimal | None,
    upper: Decimal | None,
) -> Decimal:
    """The width w of the guard band that a rule gives for U with its k between these limits.

    For a target probability w is found on the edge of acceptance itself, so that the far limit of a narrow zone
    counts too; where even the middle falls short of the target, w is more than half the zone and no value can
    conform. Raises MetrologyError on the field `factor`, `width`, `probability`, `k` or `expanded_uncertainty`.
    """
    _check(rule, expanded_uncertainty, k)
    match rule:
        case NoGuardBand():
            return Decimal(0)
        case FactorOfU(factor):
            return factor * expanded_uncertainty
        case FixedWidth(width):
            return width
        case TargetProbability(probability):
            return _width_for(probability, expanded_uncertainty / k, lower, upper)


def judge_by(
    rule: GuardBand,
    value: Decimal,
    lower: Decimal | None,
    upper: Decimal | None,
    expanded_uncertainty: Decimal,
    k: Decimal = Decimal(2),
) -> Conforms | NotProven | DoesNotConform:
    """Judge a value under any rule for the guard band; verdicts and edges as `conformity.judge`, same errors."""
    width = guard_band_width(rule, expanded_uncertainty, k, lower, upper)
    return judge(value, lower, upper, width, Decimal(1))


def _width_for(probability: Decimal, deviation: Decimal, lower: Decimal | None, upper: Decimal | None) -> Decimal:
    """The smallest w, to a millionth of u, whose edge of acceptance reaches the probability."""
    if deviation == 0 or (lower is None and upper is None):
        return Decimal(0)
    wanted = float(probability)

    def reached(width: Decimal) -> bool:
        edge = upper - width if lower is None and upper is not None else (lower or Decimal(0)) + width
        return probability_of_conformity(edge, lower, upper, deviation) >= wanted

    widest = 40 * deviation
    if lower is not None and upper is not None:
        half = (upper - lower) / 2
        if half <= widest and not reached(half):
            return half + deviation
        widest = min(half, widest)
    steps_low, steps_high = 0, 1 << 26
    step = widest / steps_high
    while steps_high - steps_low > 1:
        middle = (steps_low + steps_high) // 2
        steps_low, steps_high = (steps_low, middle) if reached(middle * step) else (middle, steps_high)
    finest = Decimal(1).scaleb(deviation.adjusted() - 6)
    return min((steps_high * step).quantize(finest, rounding=ROUND_UP), widest)


def _check(rule: GuardBand, expanded_uncertainty: Decimal, k: Decimal) -> None:
    numbers = [("expanded_uncertainty", expanded_uncertainty)]
    if isinstance(rule, FactorOfU):
        numbers.append(("factor", rule.factor))
    if isinstance(rule, FixedWidth):
        numbers.append(("width", rule.width))
    for field, number in numbers:
        if not number.is_finite() or number < 0:
            raise MetrologyError(
                "guard-band-negative", f"The {field.replace('_', ' ')} is {plain(number)}: give zero or more.", field
            )
    if not k.is_finite() or k <= 0:
        raise MetrologyError("coverage-factor-not-positive", f"k is {plain(k)}: give the k of U, usually 2.", "k")
    if isinstance(rule, TargetProbability) and not Decimal("0.5") < rule.probability < 1:
        raise MetrologyError(
            "probability-out-of-range",
            f"A target of {plain(rule.probability)} guards nothing: give more than 0.5 and less than 1.",
            "probability",
        )
