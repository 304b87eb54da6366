"""How a tightening torque is judged."""

from decimal import Decimal

from service.metrology.conformity import Conforms, DoesNotConform, judge
from service.metrology.typed_numbers import plain
from service.metrology.units import check_magnitude
from service.workshop.decision_rule import DecisionRule
from service.workshop.limit_sheet import TorquePoint
from service.workshop.measurements import InstrumentUse, Outcome
from service.workshop.vocabulary import VerdictKind


def judge_torque(point: TorquePoint, value: Decimal, wrench: InstrumentUse, rule: DecisionRule) -> Outcome:
    """The verdict on a torque in N·m. The wrench's own uncertainty is inside the maker's band: simple acceptance.

    `rule` is the workshop's, whatever its guard band: the verdict is stamped with its version.
    """
    check_magnitude(value, Decimal("0.1"), Decimal(5000), "value", "N·m")
    judged = judge(value, point.lower, point.upper, wrench.expanded_uncertainty, Decimal(0))
    limit = f"{plain(point.lower)} to {plain(point.upper)} N·m"
    good = isinstance(judged, Conforms)
    beyond = "above" if isinstance(judged, DoesNotConform) and judged.above_upper else "below"
    where = f"inside {limit}" if good else f"{beyond} {limit}: slacken and tighten again"
    return Outcome(
        verdict=VerdictKind.CONFORMS if good else VerdictKind.DOES_NOT_CONFORM,
        value=f"{plain(value)} N·m",
        limit=limit,
        sentence=f"{plain(value)} N·m is {where}.",
        rule=rule.torque_text,
    )
