"""Roundness of one section from its measured profile, by the reference circle and the filter that the sheet names."""

from decimal import ROUND_UP, Decimal

from service.metrology.conformity import Conforms
from service.metrology.ovality import uncertainty_of_difference
from service.metrology.typed_numbers import plain
from service.metrology.units import check_magnitude
from service.workshop.decision_rule import DecisionRule
from service.workshop.examination.verdicts import LARGEST, SMALLEST, kind_of, size_sentence
from service.workshop.limit_sheet import RoundnessCharacteristic
from service.workshop.measurements import InstrumentUse, Outcome, RoundnessMeasurement
from service.workshop.vocabulary import InstrumentKind


def judge_roundness(item: RoundnessCharacteristic, measured: RoundnessMeasurement, rule: DecisionRule) -> Outcome:
    """The roundness deviation (ISO 12181-1, RONt) against its limit; raises as `examine` does."""
    # NumPy loads with the first section that is evaluated: the server starts without it.
    from service.workshop.section_profile import evaluated, found_form

    found = found_form(item, evaluated(item, measured))
    check_magnitude(found.across, SMALLEST, LARGEST["mm"], "points", "mm across")
    deviation = found.deviation
    uncertainty = form_uncertainty(measured.instrument)
    judged = rule.judge(deviation, None, item.limit, uncertainty, measured.instrument.k)
    return Outcome(
        verdict=kind_of(judged),
        value=f"roundness deviation {plain(deviation)} mm",
        limit=item.text,
        sentence=f"Roundness deviation: {size_sentence(judged, 'mm', uncertainty)}",
        rule=rule.text,
        consequence=None if isinstance(judged, Conforms) else item.consequence,
    )


def form_uncertainty(use: InstrumentUse) -> Decimal:
    """Expanded uncertainty in mm of a roundness deviation, rounded up to a hundredth of a micrometre.

    A roundness instrument's certificate states U of a roundness deviation itself. Any other instrument's U is that of
    one reading, and the deviation is a difference of two: U·√2 (JCGM 100, 5.1.2), on the safe side as for ovality.
    """
    u = use.expanded_uncertainty
    if use.kind is not InstrumentKind.ROUNDNESS_INSTRUMENT:
        u = uncertainty_of_difference(u)
    return u.quantize(Decimal("0.00001"), ROUND_UP)
