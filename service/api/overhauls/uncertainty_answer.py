"""The budget that a value was judged with, for the answer."""

from service.api.bodies import Answer, Exact
from service.metrology.contributions import Distribution
from service.metrology.kept_budget import Evaluation


class ReadingContributionAnswer(Answer):
    """One contribution: `stated` ÷ `divisor` is its standard uncertainty, in `stated_unit`.

    `evaluation` is A (from repeated readings) or B; `effect` is in the unit of the result; `degrees_of_freedom` null
    is infinite; `share_percent` is its part of the variance.
    """

    name: str
    source: str
    evaluation: Evaluation
    distribution: Distribution
    stated: Exact
    stated_unit: str
    divisor: Exact
    standard_uncertainty: Exact
    sensitivity: Exact
    effect: Exact
    degrees_of_freedom: Exact | None
    share_percent: Exact


class ReadingUncertaintyAnswer(Answer):
    """The budget that a value was judged with, as it was kept then (JCGM 100): `expanded` is U, in `unit`, with `k`.

    `effective_dof` null is infinite; `unknown` says what no contribution stands for; `by_calibration` is true where U
    was raised to that of the instrument's calibration.
    """

    unit: str
    expanded: Exact
    k: Exact
    coverage_percent: Exact
    combined: Exact
    effective_dof: Exact | None
    by_calibration: bool
    unknown: list[str]
    lines: list[ReadingContributionAnswer]
