"""How probable conformity is where a value was judged with its uncertainty: told beside the verdict, never instead."""

from decimal import ROUND_HALF_EVEN, Decimal

from service.metrology.conformity import Verdict, probability_of_conformity, standard_uncertainty
from service.metrology.kept_budget import UncertaintyBudget
from service.metrology.typed_numbers import plain

_KEPT = Decimal("0.000001")
_NEARLY_SURE, _HARDLY = Decimal("0.999"), Decimal("0.001")


def chance_of_conformity(judged: Verdict, budget: UncertaintyBudget) -> Decimal | None:
    """Probability 0 to 1, to six digits, that the true value lies inside one or two limits: JCGM 106:2012, 7.2, 7.4.

    None without an uncertainty: a value that leaves no doubt has no probability worth telling. Clauses from memory.
    """
    if budget.expanded == 0:
        return None
    deviation = standard_uncertainty(budget.expanded, budget.k)
    chance = probability_of_conformity(judged.value, judged.lower, judged.upper, deviation)
    return Decimal(chance).quantize(_KEPT, rounding=ROUND_HALF_EVEN)


def chance_words(chance: Decimal | None) -> str:
    """`Probability of conformity 84.1 %`; '' where none was kept. Nothing measured is ever told as sure."""
    if chance is None:
        return ""
    if chance > _NEARLY_SURE:
        return "Probability of conformity over 99.9 %"
    if chance < _HARDLY:
        return "Probability of conformity under 0.1 %"
    return f"Probability of conformity {plain((100 * chance).quantize(Decimal('0.1')))} %"
