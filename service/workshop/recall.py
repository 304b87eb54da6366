"""What a corrected error of an instrument makes of the readings that were taken with it. Nothing is changed here."""

from dataclasses import dataclass, replace
from decimal import Decimal

from service.metrology.conformity import Conforms
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import plain
from service.workshop.bench_judgement import judge_step
from service.workshop.correction import Correction
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import BenchStepRecorded, Content, Examined, Torqued
from service.workshop.examination import examine
from service.workshop.limit_sheet import LimitSheet, PinCharacteristic, TorquePoint
from service.workshop.measurements import (
    InstrumentUse,
    OvalityMeasurement,
    PinMeasurement,
    RoundnessMeasurement,
    SizeMeasurement,
    VisualMeasurement,
)
from service.workshop.reading_budget import judged_with, step_judged_with
from service.workshop.recalled_pins import judge_with_pins
from service.workshop.recalled_rule import rule_of_text
from service.workshop.step_results import (
    BackLeakageResult,
    ExternalTightnessResult,
    OpeningPressureResult,
    SeatTightnessResult,
    StepResult,
    pressures_bar,
)
from service.workshop.vocabulary import VerdictKind


class RecallRefused(DomainError):
    """A correction that cannot be applied as it stands."""


@dataclass(frozen=True, kw_only=True)
class CorrectedVerdict:
    """The verdict as it was recorded and as the corrected reading would have it, both in words."""

    before: str
    after: str
    """'' where a number cannot answer it; `reason` then says what to do."""
    reason: str
    rule: str
    """The decision rule that it was judged by again, '' where none enters."""
    rule_as_stored: bool = True
    """False where the stored text names no rule that is known: the rule now in force was taken instead."""

    @property
    def open(self) -> bool:
        """Whether no verdict can be given without looking or measuring again."""
        return not self.after

    @property
    def changes(self) -> bool:
        """Whether the verdict would be another one."""
        return bool(self.after) and self.after != self.before

    @property
    def in_words(self) -> str:
        """For lists and letters."""
        if self.open:
            return "Cannot be judged again"
        return f"Would change to: {self.after}" if self.changes else "Would not change"


def judge_corrected(
    content: Content,
    sheet: LimitSheet,
    correction: Correction,
    in_force: DecisionRule,
    gauge: InstrumentUse | None = None,
) -> CorrectedVerdict:
    """Judge an entry again with its readings corrected, under the rule that its verdict was judged by.

    `gauge` is that of the run for a step on the rig, None where the measuring cylinder of the step is meant. Where the
    stored rule cannot be read, `in_force` is taken and the answer says so. Raises RecallRefused for an entry that
    carries no verdict.
    """
    match content:
        case Examined():
            return _examined(content, sheet, correction, in_force)
        case Torqued():
            return _torqued(content, sheet, correction)
        case BenchStepRecorded() if gauge is not None:
            return _bench_step(content, sheet, correction, in_force, gauge)
        case BenchStepRecorded(result=BackLeakageResult() as caught):
            volume = correction.less_error(caught.volume_ml)
            return _step_again(content, sheet, replace(caught, volume_ml=volume), in_force, caught.cylinder)
        case _:
            raise RecallRefused("no-verdict", "This entry carries no verdict.")


def _examined(item: Examined, sheet: LimitSheet, correction: Correction, in_force: DecisionRule) -> CorrectedVerdict:
    measured, before = item.measurement, item.outcome.verdict.label
    characteristic = sheet.characteristic_by_key[item.characteristic]
    if isinstance(measured, VisualMeasurement):
        return _undecided(before, "Seen, not measured: look again with a sound instrument.")
    if isinstance(measured, RoundnessMeasurement):
        if len({point.error for point in correction.points}) > 1:
            return _undecided(before, _FORM_IN_DOUBT)
        return CorrectedVerdict(before=before, after=before, reason=_FORM_STAYS, rule=item.outcome.rule)
    if isinstance(measured, PinMeasurement) and isinstance(characteristic, PinCharacteristic):
        verdict, reason = judge_with_pins(characteristic, measured, correction.pins)
        return CorrectedVerdict(before=before, after=verdict.label, reason=reason, rule=item.outcome.rule)
    if isinstance(measured, SizeMeasurement):
        measured = replace(measured, readings=tuple(map(correction.less_error, measured.readings)))
    elif isinstance(measured, OvalityMeasurement):
        less = tuple(tuple(map(correction.less_error, section)) for section in measured.diameters)
        measured = replace(measured, diameters=less)
    stored = rule_of_text(item.outcome.rule)
    rule = stored or in_force
    try:
        outcome = examine(characteristic, measured, rule, judged_with(item))
    except DomainError as error:
        return _undecided(before, error.sentence)
    after, reason = outcome.verdict.label, outcome.sentence
    text = item.outcome.rule if stored else rule.text
    return CorrectedVerdict(before=before, after=after, reason=reason, rule=text, rule_as_stored=stored is not None)


def _torqued(item: Torqued, sheet: LimitSheet, correction: Correction) -> CorrectedVerdict:
    point: TorquePoint = next(one for one in sheet.torques if one.key == item.point)
    value = correction.less_error(item.value)
    # Under every rule of the workshop a torque is accepted simply: see `service.workshop.torque`.
    judged = DecisionRule(Decimal(0)).judge(value, point.lower, point.upper, item.wrench.expanded_uncertainty)
    verdict = VerdictKind.CONFORMS if isinstance(judged, Conforms) else VerdictKind.DOES_NOT_CONFORM
    reason = f"{plain(value)} N·m against {plain(point.lower)} to {plain(point.upper)} N·m."
    before = item.outcome.verdict.label
    return CorrectedVerdict(before=before, after=verdict.label, reason=reason, rule=item.outcome.rule)


def _bench_step(
    item: BenchStepRecorded, sheet: LimitSheet, correction: Correction, in_force: DecisionRule, gauge: InstrumentUse
) -> CorrectedVerdict:
    if not pressures_bar(item.result):
        before, sentence = item.outcome.verdict.label, "Nothing was read from the gauge in this step."
        return CorrectedVerdict(before=before, after=before, reason=sentence, rule="")
    return _step_again(item, sheet, corrected_result(item.result, correction), in_force, gauge)


def _step_again(
    item: BenchStepRecorded, sheet: LimitSheet, result: StepResult, in_force: DecisionRule, use: InstrumentUse | None
) -> CorrectedVerdict:
    """`use` is the instrument whose readings in `result` are corrected."""
    if use is None:
        raise RecallRefused("no-instrument", "This step names no instrument.")
    before, plan = item.outcome.verdict.label, sheet.test_plan
    stored_text = item.outcome.rule
    stored = rule_of_text(stored_text)
    rule = stored or in_force
    ruled = isinstance(item.result, OpeningPressureResult | BackLeakageResult)  # no rule enters the others
    try:
        outcome = judge_step(plan, plan.step_by_key[item.step], result, use, rule, step_judged_with(item, use))
    except DomainError as error:
        return _undecided(before, error.sentence)
    return CorrectedVerdict(
        before=before,
        after=outcome.verdict.label,
        reason=outcome.sentence,
        rule=(stored_text if stored else rule.text) if ruled else "",
        rule_as_stored=stored is not None or not ruled,
    )


_FORM_IN_DOUBT = (
    "A roundness deviation is a difference of radii, and an error that is not the same over the range does not cancel "
    "in it: measure the section again with a sound instrument."
)
_FORM_STAYS = (
    "A roundness deviation is a difference of radii: an error that all of them share does not shift it. Where the "
    "error is in the spindle or in the magnification, measure the section again."
)


def corrected_result(result: StepResult, correction: Correction) -> StepResult:
    """The step's result with every pressure (bar) that its gauge showed corrected."""
    match result:
        case SeatTightnessResult() | ExternalTightnessResult() | BackLeakageResult():
            return replace(result, pressure_bar=correction.less_error(result.pressure_bar))
        case OpeningPressureResult():
            return replace(result, strokes_bar=tuple(map(correction.less_error, result.strokes_bar)))
        case _:
            return result


def _undecided(before: str, reason: str) -> CorrectedVerdict:
    return CorrectedVerdict(before=before, after="", reason=reason, rule="")
