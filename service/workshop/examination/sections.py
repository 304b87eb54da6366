"""Ovality of sections (holes, a seat) from their two-point diameters."""

from collections.abc import Sequence
from decimal import Decimal

from service.metrology.conformity import Conforms, NotProven, Verdict
from service.metrology.kept_budget import UncertaintyBudget
from service.metrology.ovality import DiameterReading, ovality
from service.metrology.typed_numbers import plain
from service.metrology.units import check_magnitude
from service.workshop.conformity_chance import chance_of_conformity
from service.workshop.decision_rule import DecisionRule
from service.workshop.examination.refusal import ExaminationRefused
from service.workshop.examination.verdicts import LARGEST, SMALLEST, kind_of, severity, size_sentence
from service.workshop.limit_sheet import OvalityCharacteristic
from service.workshop.measurements import Outcome, OvalityMeasurement
from service.workshop.reading_budget import difference_budget


def judge_ovality(
    item: OvalityCharacteristic, measured: OvalityMeasurement, rule: DecisionRule, kept: UncertaintyBudget | None = None
) -> Outcome:
    """Each section's largest less smallest diameter against the limit, with the U of a difference.

    `kept` is the budget of a measurement that was judged before, else it is worked out. Raises as `examine` does.
    """
    if len(measured.diameters) != item.sections:
        raise ExaminationRefused(
            "sections-missing", f"Measure every {item.section_name}: {item.sections} in all.", "diameters"
        )
    judged: list[tuple[int, Verdict]] = []
    budget = kept or difference_budget(measured.instrument)
    for number, diameters in enumerate(measured.diameters, start=1):
        if len(diameters) < item.directions:
            where = f"{item.section_name.capitalize()} {number}"
            sentence = f"{where}: measure in {item.directions} directions."
            raise ExaminationRefused("directions-missing", sentence, f"section-{number}")
        for diameter in diameters:
            check_magnitude(diameter, SMALLEST, LARGEST["mm"], f"section-{number}", "mm")
        oval = section_ovality(diameters)
        judged.append((number, rule.judge(oval, None, item.limit, budget.expanded, budget.k)))
    number, worst = max(judged, key=lambda pair: (severity(pair[1]), pair[1].value))
    failed = tuple(n for n, one in judged if not isinstance(one, Conforms))
    return Outcome(
        verdict=kind_of(worst),
        value=f"largest ovality {plain(worst.value)} mm ({item.section_name} {number})",
        limit=f"at most {plain(item.limit)} mm",
        sentence=f"{item.section_name.capitalize()} {number}: {size_sentence(worst, 'mm', budget.expanded)}",
        rule=rule.text,
        consequence=None if isinstance(worst, Conforms) else item.consequence,
        failed_holes=failed,
        unproven_holes=tuple(n for n, one in judged if isinstance(one, NotProven)),
        uncertainty=budget,
        probability_of_conformity=chance_of_conformity(worst, budget),
    )


def section_ovality(diameters: Sequence[Decimal]) -> Decimal:
    """Ovality (mm) of one section from its two-point diameters (mm), taken at equal angles; raises MetrologyError."""
    angle = Decimal(180) / len(diameters)
    return ovality([DiameterReading(angle * turn, d) for turn, d in enumerate(diameters)]).ovality_mm
