"""What a plan asks of a trace, and the verdict on each: opening pressure, spread, strokes, decay of a hold."""

from dataclasses import dataclass
from decimal import Decimal

from service.hydraulics.errors import HydraulicsError
from service.hydraulics.opening import LEAST_STROKES
from service.hydraulics.trace.analysis import TraceAnalysis
from service.metrology.conformity import Conforms, DoesNotConform, NotProven, Verdict, judge
from service.metrology.typed_numbers import plain

_FINEST = Decimal("0.001")


@dataclass(frozen=True, slots=True, kw_only=True)
class TracePlan:
    """Limits in bar and bar/min, each None where the plan has none; `expanded_uncertainty_bar` is that of the gauge."""

    lower_bar: Decimal | None = None
    upper_bar: Decimal | None = None
    spread_max_bar: Decimal | None = None
    least_openings: int = LEAST_STROKES
    decay_max_bar_per_min: Decimal | None = None
    expanded_uncertainty_bar: Decimal = Decimal(0)

    def __post_init__(self) -> None:
        if self.lower_bar is not None and self.upper_bar is not None and self.lower_bar > self.upper_bar:
            raise HydraulicsError(
                "limits-crossed", "The lower limit is above the upper limit: correct one of them.", "upper_bar"
            )
        positive = {
            "spread_max_bar": self.spread_max_bar,
            "decay_max_bar_per_min": self.decay_max_bar_per_min,
            "expanded_uncertainty_bar": self.expanded_uncertainty_bar,
        }
        for field, value in positive.items():
            if value is not None and value < 0:
                raise HydraulicsError("limit-negative", "A limit is zero or more: correct it.", field)
        if not 1 <= self.least_openings <= 100:
            raise HydraulicsError("openings-range", "The plan asks for 1 to 100 openings.", "least_openings")

    @property
    def asks(self) -> bool:
        """Whether there is anything to judge by."""
        return any(
            limit is not None
            for limit in (self.lower_bar, self.upper_bar, self.spread_max_bar, self.decay_max_bar_per_min)
        )


@dataclass(frozen=True, slots=True)
class PlanFinding:
    """The verdict on one thing that the plan asks, by the names of `conformity`, and why."""

    what: str
    verdict: str
    sentence: str


def held_against(analysis: TraceAnalysis, plan: TracePlan) -> tuple[PlanFinding, ...]:
    """A verdict on each thing that the plan asks; too few openings and no hold leave it not proven.

    The mean opening pressure keeps a guard band of the gauge's U (ISO 14253-1); no single opening may lie outside.
    A decay conforms where its whole 95 % interval is under the limit, and does not where its whole interval is over it.
    """
    findings = []
    if plan.lower_bar is not None or plan.upper_bar is not None or plan.spread_max_bar is not None:
        findings += _openings(analysis, plan)
    if plan.decay_max_bar_per_min is not None:
        findings += _holds(analysis, plan.decay_max_bar_per_min)
    return tuple(findings)


def _openings(analysis: TraceAnalysis, plan: TracePlan) -> list[PlanFinding]:
    found = analysis.statistics
    if found is None or found.count < plan.least_openings:
        count = 0 if found is None else found.count
        sentence = f"The trace shows {count} of at least {plan.least_openings} openings: make more strokes."
        return [PlanFinding("Opening pressure", NotProven.name, sentence)]
    findings = []
    if plan.lower_bar is not None or plan.upper_bar is not None:
        mean = judge(_exact(found.mean_bar), plan.lower_bar, plan.upper_bar, plan.expanded_uncertainty_bar, Decimal(1))
        findings.append(_mean(analysis, plan, mean))
    if plan.spread_max_bar is not None:
        within = _exact(found.spread_bar) <= plan.spread_max_bar
        findings.append(
            PlanFinding(
                "Spread",
                (Conforms if within else DoesNotConform).name,
                f"The openings spread over {found.spread_bar:.1f} bar; at most {plain(plan.spread_max_bar)} bar is "
                "asked.",
            )
        )
    return findings


def _mean(analysis: TraceAnalysis, plan: TracePlan, mean: Verdict) -> PlanFinding:
    low, high = plan.lower_bar, plan.upper_bar
    if low is None or high is None:
        band = f"{plain(low)} bar and more" if low is not None else f"up to {plain(high or Decimal(0))} bar"
    else:
        band = f"{plain(low)} to {plain(high)} bar"
    outside = [
        one.opening_bar
        for one in analysis.openings
        if (low is not None and _exact(one.opening_bar) < low) or (high is not None and _exact(one.opening_bar) > high)
    ]
    shown = f"{mean.value:.1f} bar"
    if isinstance(mean, DoesNotConform):
        return PlanFinding("Opening pressure", mean.name, f"The mean {shown} lies outside {band}.")
    if isinstance(mean, NotProven):
        sentence = f"The mean {shown} is nearer to a limit of {band} than the gauge’s U = {plain(mean.guard_band)} bar."
        return PlanFinding("Opening pressure", mean.name, sentence)
    if outside:
        sentence = f"The mean {shown} lies inside, but one opening at {outside[0]:.1f} bar lies outside {band}."
        return PlanFinding("Opening pressure", DoesNotConform.name, sentence)
    return PlanFinding("Opening pressure", mean.name, f"The mean {shown} and each opening lie inside {band}.")


def _holds(analysis: TraceAnalysis, most: Decimal) -> list[PlanFinding]:
    if not analysis.holds:
        return [PlanFinding("Decay", NotProven.name, "The trace shows no hold of five seconds or more.")]
    findings = []
    for number, hold in enumerate(analysis.holds, start=1):
        low, high = hold.interval
        limit = float(most)
        verdict = Conforms.name if high <= limit else DoesNotConform.name if low > limit else NotProven.name
        findings.append(
            PlanFinding(
                f"Decay of hold {number}",
                verdict,
                f"{hold.rate_bar_per_min:.2f} bar/min, 95 % interval {low:.2f} to {high:.2f}; at most {plain(most)} "
                "bar/min is asked.",
            )
        )
    return findings


def _exact(bar: float) -> Decimal:
    return Decimal(repr(bar)).quantize(_FINEST)
