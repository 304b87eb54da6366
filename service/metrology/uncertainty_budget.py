"""Contributions combined to the expanded uncertainty of a result, line by line: JCGM 100 (the GUM)."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_UP, Decimal

from service.metrology.contributions import INFINITE, Contribution
from service.metrology.coverage import TWO_SIGMA, coverage_factor, effective_degrees_of_freedom
from service.metrology.errors import MetrologyError


@dataclass(frozen=True, slots=True)
class Correlation:
    """Two contributions by their names and their correlation coefficient, −1 to 1: JCGM 100, 5.2.2."""

    one: str
    other: str
    coefficient: float


@dataclass(frozen=True, slots=True)
class BudgetLine:
    """One contribution as a table shows it: |c·u| in the unit of the result, and its part of the variance, 0 to 1.

    The shares of a budget add up to 1; correlation can make one negative, when it takes away from the others.
    """

    contribution: Contribution
    effect: float
    share: float


@dataclass(frozen=True, slots=True)
class ExpandedUncertainty:
    """What a budget comes to: u_c, ν_eff (infinite where nothing limits it), k and U, in the unit of the result."""

    lines: tuple[BudgetLine, ...]
    combined: float
    effective_dof: float
    k: float
    expanded: float
    coverage: float

    @property
    def reported(self) -> Decimal:
        """U for a certificate: two significant digits, rounded away from zero; JCGM 100, 7.2.6."""
        return two_digits_up(self.expanded)


def expand(
    contributions: Sequence[Contribution],
    coverage: float = TWO_SIGMA,
    correlations: Sequence[Correlation] = (),
) -> ExpandedUncertainty:
    """Combine a budget: u_c by JCGM 100, 5.1.2 (5.2.2 with correlations), ν_eff by G.4.1, k by G.3.2, U = k·u_c.

    Welch-Satterthwaite holds for uncorrelated inputs only, so a correlated contribution must have infinite
    degrees of freedom. Raises MetrologyError: `budget-empty`, `contribution-twice`, `correlation-unknown`,
    `correlation-out-of-range`, `correlation-finite-freedom`, `correlation-impossible`, `coverage-not-a-probability`.
    """
    if not contributions:
        raise MetrologyError("budget-empty", "The budget has no contribution: enter at least one.", "contributions")
    names = [line.name for line in contributions]
    for name in names:
        if names.count(name) > 1:
            raise MetrologyError(
                "contribution-twice", f"Two contributions are called {name}: name them apart.", "contributions"
            )
    _check(correlations, {line.name: line for line in contributions})
    of_variance = _parts_of_variance(contributions, correlations)
    variance = math.fsum(of_variance)
    if variance < 0.0 and not math.isclose(variance, 0.0, abs_tol=1e-12 * max(map(abs, of_variance))):
        raise MetrologyError(
            "correlation-impossible", "These correlations contradict each other: check their signs.", "correlations"
        )
    combined = math.sqrt(max(variance, 0.0))
    freedom = effective_degrees_of_freedom(contributions)
    k = coverage_factor(freedom, coverage)
    lines = tuple(
        BudgetLine(line, abs(line.effect), part / variance if variance > 0.0 else 0.0)
        for line, part in zip(contributions, of_variance, strict=True)
    )
    return ExpandedUncertainty(lines, combined, freedom, k, k * combined, coverage)


def two_digits_up(uncertainty: float) -> Decimal:
    """An uncertainty to two significant digits, rounded away from zero so that it never promises more: 7.2.6.

    Ten digits are kept before that, so that 0.0020000000001 of binary arithmetic stays 0.0020.
    """
    exact = Decimal(f"{uncertainty:.9e}")
    if not exact:
        return Decimal(0)
    rounded = exact.quantize(Decimal(1).scaleb(exact.adjusted() - 1), rounding=ROUND_UP)
    # 0.0996 became 0.100: written with two digits again, and 1.3E+3 as 1300.
    two_digits = rounded.quantize(Decimal(1).scaleb(rounded.adjusted() - 1))
    return Decimal(format(two_digits, "f"))


def _parts_of_variance(contributions: Sequence[Contribution], correlations: Sequence[Correlation]) -> list[float]:
    """c_i·u_i · Σ_j r_ij·c_j·u_j of each contribution; their sum is the variance of the result."""
    position = {line.name: index for index, line in enumerate(contributions)}
    parts = [[line.effect**2] for line in contributions]
    for pair in correlations:
        one, other = position[pair.one], position[pair.other]
        shared = pair.coefficient * contributions[one].effect * contributions[other].effect
        parts[one].append(shared)
        parts[other].append(shared)
    return [math.fsum(part) for part in parts]


def _check(correlations: Sequence[Correlation], by_name: dict[str, Contribution]) -> None:
    seen: set[frozenset[str]] = set()
    for pair in correlations:
        both = frozenset((pair.one, pair.other))
        unknown = [name for name in (pair.one, pair.other) if name not in by_name]
        if unknown or len(both) < 2 or both in seen:
            why = f"there is no contribution {unknown[0]}" if unknown else "a pair stands once, with two names"
            raise MetrologyError(
                "correlation-unknown", f"Correlation of {pair.one} and {pair.other}: {why}.", "correlations"
            )
        seen.add(both)
        if not -1.0 <= pair.coefficient <= 1.0:
            raise MetrologyError(
                "correlation-out-of-range",
                f"The correlation of {pair.one} and {pair.other} is {pair.coefficient:g}: give −1 to 1.",
                "correlations",
            )
        if any(by_name[name].degrees_of_freedom != INFINITE for name in both):
            raise MetrologyError(
                "correlation-finite-freedom",
                f"{pair.one} and {pair.other} are correlated, so the effective degrees of freedom cannot be worked "
                "out from finite ones: leave their degrees of freedom out.",
                "correlations",
            )
