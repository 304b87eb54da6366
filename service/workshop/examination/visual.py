"""What was seen under magnification, and yes-or-no questions, by the sheet's own list."""

from decimal import Decimal

from service.metrology.typed_numbers import plain
from service.metrology.units import check_magnitude
from service.workshop.examination.refusal import ExaminationRefused
from service.workshop.limit_sheet import VisualCharacteristic, YesNoCharacteristic
from service.workshop.measurements import Outcome, VisualMeasurement, YesNoMeasurement
from service.workshop.vocabulary import Disposition, FindingOutcome, VerdictKind


def judge_findings(item: VisualCharacteristic, seen: VisualMeasurement) -> Outcome:
    """The gravest finding decides; raises as `examine` does."""
    if not seen.findings:
        raise ExaminationRefused("finding-missing", "Choose what you found.", "findings")
    unknown = [key for key in seen.findings if key not in item.by_key]
    if unknown:
        raise ExaminationRefused("finding-unknown", "Choose a finding from the list.", "findings")
    if seen.magnification is not None:
        check_magnitude(seen.magnification, Decimal(1), Decimal(1000), "magnification", "×")
    _check_magnification(item, seen.magnification)
    chosen = [item.by_key[key] for key in seen.findings]
    outcomes = {choice.outcome for choice in chosen}
    if FindingOutcome.ACCEPTABLE in outcomes and len(outcomes) > 1:
        raise ExaminationRefused(
            "findings-contradict", "An acceptable finding and a defect were both chosen: keep the defect.", "findings"
        )
    labels = ", ".join(choice.label for choice in chosen)
    at = f" at {plain(seen.magnification)}×" if seen.magnification is not None else ""
    if FindingOutcome.REJECT in outcomes:
        consequence: Disposition | None = item.consequence
    else:
        consequence = Disposition.REWORK if FindingOutcome.REWORK in outcomes else None
    return Outcome(
        verdict=VerdictKind.CONFORMS if consequence is None else VerdictKind.DOES_NOT_CONFORM,
        value=f"{labels}{at}",
        limit="; ".join(f"{choice.label}: {choice.outcome.value}" for choice in item.findings),
        sentence=f"{labels}{at}: {_visual_reason(item, consequence)}",
        rule="Visual finding by the sheet's list",
        consequence=consequence,
    )


def _visual_reason(item: VisualCharacteristic, consequence: Disposition | None) -> str:
    if consequence is None:
        return "acceptable by the sheet."
    if item.replace_only:
        return "the sheet rejects it, and this surface is never lapped or ground."
    return f"the sheet asks to {consequence.label.lower()}."


def _check_magnification(item: VisualCharacteristic, used: Decimal | None) -> None:
    low, high = item.magnification_min, item.magnification_max
    if low is None and high is None:
        return
    span = f"{plain(low or high or Decimal(0))}×" if low is None or high is None else f"{plain(low)}× to {plain(high)}×"
    if used is None:
        raise ExaminationRefused("magnification-missing", f"Enter the magnification used: {span}.", "magnification")
    if low is not None and used < low:
        raise ExaminationRefused(
            "magnification-low", f"{plain(used)}× is too little to see it: look again at {span}.", "magnification"
        )
    if high is not None and used > high:
        raise ExaminationRefused(
            "magnification-high", f"{plain(used)}× is more than the sheet asks for: judge at {span}.", "magnification"
        )


def judge_answer(item: YesNoCharacteristic, measured: YesNoMeasurement) -> Outcome:
    """The answer against the one that the sheet requires."""
    good = measured.answer is item.required
    answer, wanted = ("yes" if measured.answer else "no"), ("yes" if item.required else "no")
    return Outcome(
        verdict=VerdictKind.CONFORMS if good else VerdictKind.DOES_NOT_CONFORM,
        value=answer,
        limit=wanted,
        sentence=f"{item.question} {answer.capitalize()}" + ("." if good else f"; the sheet requires {wanted}."),
        rule="Required answer",
        consequence=None if good else item.consequence,
    )
