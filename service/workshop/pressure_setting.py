"""Setting the opening pressure after a reading outside its band: which discs, which slope and why, and what else."""

from collections import Counter
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.hydraulics.adjustment_slope import Adjustment, SlopeChoice, choose_slope
from service.hydraulics.disc_advice import DiscAdvice, advise
from service.hydraulics.disc_search import DiscSet, DiscTask, PressureBand, disc_task, fewest_discs
from service.hydraulics.disc_stock import StockedDisc, micrometres
from service.hydraulics.errors import HydraulicsError
from service.hydraulics.opening_geometry import NeedleGeometry, SpringSet, needle_geometry, spring_set
from service.metrology.conformity import Conforms
from service.metrology.guard_band import guard_band_width
from service.metrology.kept_budget import UncertaintyBudget
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import BenchRunStarted, BenchStepRecorded, DiscsChanged, PartFitted, PartReworked
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.own_adjustments import mean_opening_bar
from service.workshop.step_results import OpeningPressureResult
from service.workshop.test_plan import TestPlan
from service.workshop.vocabulary import RunPurpose


@dataclass(frozen=True, kw_only=True)
class OpeningOff:
    """A mean opening pressure that is not proven to lie in its band, bar, with U and k that it was judged by.

    `shown_unit` is that of the dial it was read on.
    """

    run: int
    mean_bar: Decimal
    expanded_bar: Decimal
    k: Decimal
    shown_unit: str


@dataclass(frozen=True, kw_only=True)
class PressureSetting:
    """What is proposed. Without a slope there is no search, and `advice` is None.

    `band` is that of the test plan, narrowed by the guard band of the decision rule: what lies in it will be proven.
    """

    off: OpeningOff
    band: PressureBand
    guard_bar: Decimal
    fitted_um: tuple[int, ...]
    slope: SlopeChoice | None
    task: DiscTask | None
    sets: tuple[DiscSet, ...]
    advice: DiscAdvice | None
    closing_bar: Decimal | None
    spring: SpringSet | None


def plan_geometry(plan: TestPlan) -> NeedleGeometry | None:
    """Spring and diameters, where the sheet gives all three of them."""
    if plan.spring_rate_n_per_mm is None or plan.guide_mm is None or plan.seat_mm is None:
        return None
    return needle_geometry(plan.spring_rate_n_per_mm, plan.guide_mm, plan.seat_mm)


def opening_off(record: OverhaulRecord, rule: DecisionRule) -> OpeningOff | None:
    """The newest opening pressure of a proving run, where it is off and nothing was changed since."""
    newest, runs = None, dict(record.all_of(BenchRunStarted))
    for entry in record.entries:
        match entry.content:
            case BenchStepRecorded(run=run, result=OpeningPressureResult() as result, outcome=outcome):
                if runs[run].purpose is RunPurpose.PROVING:
                    newest = _reading(run, mean_opening_bar(result), outcome.uncertainty, runs[run])
            case DiscsChanged() | PartFitted() | PartReworked():
                newest = None
            case _:
                pass
    if newest is None or record.exit is not None:
        return None
    plan = record.sheet.test_plan
    verdict = rule.judge(newest.mean_bar, plan.opening_lower_bar, plan.opening_upper_bar, newest.expanded_bar, newest.k)
    return None if isinstance(verdict, Conforms) else newest


def _reading(run: int, mean_bar: Decimal, budget: UncertaintyBudget | None, started: BenchRunStarted) -> OpeningOff:
    """With the uncertainty kept with the step; before budgets were kept it was the gauge's own."""
    gauge = started.gauge
    expanded, k = (gauge.expanded_uncertainty, gauge.k) if budget is None else (budget.expanded, budget.k)
    return OpeningOff(run=run, mean_bar=mean_bar, expanded_bar=expanded, k=k, shown_unit=started.shown_unit)


def fitted_discs_um(record: OverhaulRecord) -> tuple[int, ...]:
    """Discs added in this overhaul and not taken out again, µm; those it arrived with are not known."""
    fitted: Counter[Decimal] = Counter()
    for _, change in record.all_of(DiscsChanged):
        fitted -= Counter(change.removed)  # one that it arrived with leaves nothing below zero
        fitted += Counter(change.added)
    return tuple(sorted((round(disc * 1000) for disc in fitted.elements()), reverse=True))


def set_pressure(
    record: OverhaulRecord, adjustments: Sequence[Adjustment], rule: DecisionRule, absent_mm: Collection[Decimal] = ()
) -> PressureSetting | None:
    """The proposal, None where no opening pressure is off. `absent_mm` are thicknesses of the sheet that have run out.

    Where the record holds more discs than can be searched the advice says so.
    """
    off = opening_off(record, rule)
    if off is None:
        return None
    plan = record.sheet.test_plan
    geometry, fitted = plan_geometry(plan), fitted_discs_um(record)
    slope = choose_slope(None if geometry is None else geometry.bar_per_mm, adjustments)
    band, guard = _provable_band(plan, off, rule)
    task: DiscTask | None = None
    sets: tuple[DiscSet, ...] = ()
    advice: DiscAdvice | None = None
    if slope is not None:
        there = [StockedDisc(micrometres(disc, "stock")) for disc in plan.discs_mm if disc not in absent_mm]
        try:
            task = disc_task(off.mean_bar, band, slope.bar_per_mm, there, fitted, record.sheet.discs_added_max)
            sets = fewest_discs(task)
            advice = advise(task, sets)
        except HydraulicsError as refusal:  # more discs than can be searched: the pressure is still to be set
            advice = DiscAdvice("no-such-disc", refusal.sentence)
    return PressureSetting(
        off=off,
        band=band,
        guard_bar=guard,
        fitted_um=fitted,
        slope=slope,
        task=task,
        sets=sets,
        advice=advice,
        closing_bar=None if geometry is None else geometry.closing_bar(off.mean_bar),
        spring=None if geometry is None else _spring(geometry, plan, off.mean_bar, fitted),
    )


def _provable_band(plan: TestPlan, off: OpeningOff, rule: DecisionRule) -> tuple[PressureBand, Decimal]:
    """The band less the guard band on both sides; the whole band where that leaves nothing."""
    low, high = plan.opening_lower_bar, plan.opening_upper_bar
    width = guard_band_width(rule.guard_band, off.expanded_bar, off.k, low, high)
    if low + width > high - width:
        return PressureBand(low, plan.opening_set_bar, high), Decimal(0)
    low, high = low + width, high - width
    return PressureBand(low, min(max(plan.opening_set_bar, low), high), high), width


def _spring(geometry: NeedleGeometry, plan: TestPlan, now_bar: Decimal, fitted_um: tuple[int, ...]) -> SpringSet | None:
    """Against a spring that gives the set pressure without added discs, which is what a new one does."""
    by_discs = geometry.rate_n_per_mm * sum(fitted_um) / 1000
    now = geometry.force_n(now_bar) - by_discs
    return spring_set(geometry.rate_n_per_mm, geometry.force_n(plan.opening_set_bar), now) if now > 0 else None
