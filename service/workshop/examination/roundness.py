"""Roundness of one section from its measured profile, by the reference circle and the filter that the sheet names."""

from service.metrology.conformity import Conforms
from service.metrology.kept_budget import UncertaintyBudget
from service.metrology.typed_numbers import plain
from service.metrology.units import check_magnitude
from service.workshop.conformity_chance import chance_of_conformity
from service.workshop.decision_rule import DecisionRule
from service.workshop.examination.verdicts import LARGEST, SMALLEST, kind_of, size_sentence
from service.workshop.limit_sheet import RoundnessCharacteristic
from service.workshop.measurements import Outcome, RoundnessMeasurement
from service.workshop.reading_budget import form_budget


def judge_roundness(
    item: RoundnessCharacteristic,
    measured: RoundnessMeasurement,
    rule: DecisionRule,
    kept: UncertaintyBudget | None = None,
) -> Outcome:
    """The roundness deviation (ISO 12181-1, RONt) against its limit, with the U of a form value.

    `kept` is the budget of a measurement that was judged before, else it is worked out. Raises as `examine` does.
    """
    # NumPy loads with the first section that is evaluated: the server starts without it.
    from service.workshop.section_profile import evaluated, found_form

    found = found_form(item, evaluated(item, measured))
    check_magnitude(found.across, SMALLEST, LARGEST["mm"], "points", "mm across")
    deviation, budget = found.deviation, kept or form_budget(measured.instrument)
    judged = rule.judge(deviation, None, item.limit, budget.expanded, budget.k)
    return Outcome(
        verdict=kind_of(judged),
        value=f"roundness deviation {plain(deviation)} mm",
        limit=item.text,
        sentence=f"Roundness deviation: {size_sentence(judged, 'mm', budget.expanded)}",
        rule=rule.text,
        consequence=None if isinstance(judged, Conforms) else item.consequence,
        uncertainty=budget,
        probability_of_conformity=chance_of_conformity(judged, budget),
    )
