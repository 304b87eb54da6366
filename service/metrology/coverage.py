"""From a standard uncertainty to an interval that holds the value at a stated coverage: JCGM 100, 6 and annex G."""

import math
from collections.abc import Sequence

from service.metrology.contributions import INFINITE, Contribution
from service.metrology.errors import MetrologyError

TWO_SIGMA = math.erf(math.sqrt(2.0))
"""Coverage of ± 2 standard deviations of a normal variable, 0.9545 (JCGM 100, Table G.1): k ends at 2."""


def effective_degrees_of_freedom(contributions: Sequence[Contribution]) -> float:
    """ν_eff = u_c⁴ ÷ Σ (c_i·u_i)⁴ ÷ ν_i of uncorrelated contributions: JCGM 100, G.4.1, equation (G.2b).

    Infinite when no contribution with an effect has finite degrees of freedom. It is not rounded: G.4.1,
    note 1, allows interpolation, and `coverage_factor` takes it as it is.
    """
    largest = max((abs(line.effect) for line in contributions), default=0.0)
    if largest == 0.0:
        return INFINITE
    # Relative to the largest effect, so that fourth powers of nanometres do not vanish.
    relative = [(line.effect / largest, line.degrees_of_freedom) for line in contributions]
    weighed = math.fsum(effect**4 / freedom for effect, freedom in relative)
    if weighed == 0.0:
        return INFINITE
    return math.fsum(effect**2 for effect, _ in relative) ** 2 / weighed


def coverage_factor(degrees_of_freedom: float, coverage: float = TWO_SIGMA) -> float:
    """k = t_p(ν), the two-sided quantile of Student's t, of the normal at infinity: JCGM 100, G.3.2 and Table G.2.

    `coverage` is a probability over 0 and under 1; as a rule `TWO_SIGMA`, for which k is exactly 2 at infinite
    degrees of freedom. Degrees of freedom need not be whole. Raises MetrologyError `coverage-not-a-probability`
    or `degrees-of-freedom-too-few`.
    """
    if not 0.0 < coverage < 1.0:
        raise MetrologyError(
            "coverage-not-a-probability",
            f"A coverage of {100 * coverage:g} % has no meaning: give more than 0 and less than 100, usually 95.45.",
            "coverage_percent",
        )
    if math.isnan(degrees_of_freedom) or degrees_of_freedom < 1:
        raise MetrologyError(
            "degrees-of-freedom-too-few",
            f"{degrees_of_freedom:g} degrees of freedom are too few for a coverage factor: there is at least 1.",
            "degrees_of_freedom",
        )
    if math.isinf(degrees_of_freedom) and coverage == TWO_SIGMA:
        return 2.0
    from scipy.special import ndtri, stdtrit

    upper = (1.0 + coverage) / 2.0
    return float(ndtri(upper) if math.isinf(degrees_of_freedom) else stdtrit(degrees_of_freedom, upper))


def coverage_from_percent(percent: float) -> float:
    """A coverage typed in per cent as a probability; the usual 95.45 is `TWO_SIGMA` itself, so that k ends at 2."""
    return TWO_SIGMA if round(percent, 2) == 95.45 else percent / 100.0
