"""What a reading at the bench is judged with: each contribution there or told to be missing, and the laws of U."""

import math
from dataclasses import replace
from decimal import Decimal as D

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.errors import MetrologyError
from service.metrology.kept_budget import Evaluation, UncertaintyBudget
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import BenchStepRecorded, Examined
from service.workshop.examination import examine
from service.workshop.limit_sheet import SizeCharacteristic, SizeLimits
from service.workshop.measurements import BenchTemperature, InstrumentUse, Outcome, OvalityMeasurement, SizeMeasurement
from service.workshop.reading_budget import (
    calibration_budget,
    difference_budget,
    judged_with,
    pressure_budget,
    size_budget,
    step_judged_with,
)
from service.workshop.recall import Correction, judge_corrected
from service.workshop.step_results import OpeningPressureResult, StepOutcome, VentResult
from service.workshop.vocabulary import Disposition, InstrumentKind, Phase, VerdictKind
from tests.small_findings import SOUND
from tests.small_sheet import INSTRUMENTS, SMALL_SHEET

RULE = DecisionRule()
MICROMETER = replace(INSTRUMENTS["MIC-1"], resolution=D("0.001"), repeatability=D("0.0004"), repeatability_readings=20)
GUIDE = SMALL_SHEET.characteristic_by_key["needle-guide"]
assert isinstance(GUIDE, SizeCharacteristic)
REPEATED = replace(GUIDE, repeats=True, readings=2)
USUAL = BenchTemperature(celsius=D(20), half_width=D(5), measured=False)
WARM = BenchTemperature(celsius=D(28), half_width=D(1), measured=True)
SEVERITY = {VerdictKind.CONFORMS: 0, VerdictKind.NOT_PROVEN: 1, VerdictKind.DOES_NOT_CONFORM: 2}


def budget(
    *readings: str,
    use: InstrumentUse = MICROMETER,
    at: BenchTemperature | None = USUAL,
    item: SizeCharacteristic = GUIDE,
) -> UncertaintyBudget:
    return size_budget(item, measured(*readings or ("5.996", "5.997"), use=use, at=at))


def measured(*readings: str, use: InstrumentUse = MICROMETER, at: BenchTemperature | None = None) -> SizeMeasurement:
    return SizeMeasurement(readings=tuple(D(one) for one in readings), instrument=use, temperature=at)


def names(found: UncertaintyBudget) -> list[str]:
    return [line.name for line in found.lines]


def test_a_reading_of_a_size_carries_every_contribution() -> None:
    found = budget()
    assert names(found) == [
        *("Calibration", "Resolution", "Repeatability"),
        *("Temperature between instrument and part", "Temperature and expansion together"),
    ]
    assert found.unknown == ()
    assert sum(line.share_percent for line in found.lines) == pytest.approx(D(100), abs=D("0.3"))


def test_each_line_is_what_was_stated_over_its_divisor() -> None:
    calibration, resolution, repeatability, *_ = budget().lines
    assert (calibration.stated, calibration.divisor, calibration.evaluation) == (D("0.001"), D(2), Evaluation.B)
    assert (resolution.stated, resolution.divisor) == (D("0.0005"), D("1.7321"))
    assert (repeatability.stated, repeatability.degrees_of_freedom) == (D("0.0004"), D(19))
    assert repeatability.evaluation is Evaluation.A
    for line in budget(at=WARM).lines:
        assert line.standard_uncertainty == pytest.approx(line.stated / line.divisor, rel=D("0.0001"))
        assert line.effect == pytest.approx(line.standard_uncertainty * abs(line.sensitivity), rel=D("0.0001"))


def test_a_budget_is_worked_by_hand() -> None:
    # u: 0.5 µm, 1 ÷ √12 µm, 0.4 µm with 19 degrees of freedom; no temperature was recorded.
    found = budget(at=None)
    variance = 0.25 + 1 / 12 + 0.16
    assert float(found.combined) == pytest.approx(math.sqrt(variance) / 1000, rel=1e-4)
    assert found.effective_dof is not None
    assert float(found.effective_dof) == pytest.approx(variance**2 / (0.16**2 / 19), rel=1e-4)
    # t at 183 degrees of freedom for 95.45 % is 2.0136 (SciPy); 2.0136 · 0.7024 µm, rounded up to two digits.
    assert found.k == pytest.approx(D("2.0136"), abs=D("0.0005"))
    assert found.expanded == D("0.0015")


def test_what_the_register_does_not_say_has_no_line_and_a_sentence() -> None:
    bare = budget(use=INSTRUMENTS["MIC-1"], at=None)
    assert names(bare) == ["Calibration"]
    assert (bare.expanded, bare.k) == (D("0.0010"), D(2))
    told = " ".join(bare.unknown)
    for words in ("does not state the resolution of MIC-1", "Repeatability is not known", "temperature"):
        assert words in told


def test_repeats_of_one_place_bring_their_own_scatter_and_their_mean_is_judged() -> None:
    found = budget("5.9955", "5.9960", "5.9965", item=REPEATED, at=None)
    line = next(line for line in found.lines if line.name == "Repeatability")
    # s = 0.5 µm; of the mean of three s ÷ √3, with 2 degrees of freedom.
    assert (line.stated, line.degrees_of_freedom) == (D("0.0005"), D(2))
    assert line.standard_uncertainty == D("0.00028868")
    outcome = examine(REPEATED, measured("5.9955", "5.9960", "5.9965"), RULE)
    assert outcome.value == "mean 5.996 mm of 5.9955, 5.9960, 5.9965"
    assert outcome.sentence.startswith("5.996 mm is inside the limit of")


def test_readings_in_several_places_are_no_repeats() -> None:
    # Their difference is the part's form: it says nothing of the instrument.
    assert budget("5.993", "5.998").expanded == budget("5.996", "5.996").expanded


def test_two_repeats_need_a_wider_factor_than_ten() -> None:
    two = budget("5.995", "5.997", item=REPEATED, at=None)
    ten = budget(*["5.995", "5.997"] * 5, item=REPEATED, at=None)
    assert two.k > ten.k > 2
    assert two.expanded > ten.expanded


def test_a_warm_bench_widens_a_length_and_says_where_the_temperature_comes_from() -> None:
    usual, warm = budget(), budget(at=WARM)
    assert {"Expansion of the part", "Expansion of the instrument"} <= {*names(warm)} - {*names(usual)}
    assert warm.combined > usual.combined
    assert warm.lines[-1].source == "28 °C ± 1 K, measured at the bench"
    assert usual.lines[-1].source == "20 °C ± 5 K, the workshop’s usual temperature"


def test_the_expansion_of_steel_by_hand() -> None:
    # 6 mm, 8 K away, ± 1.5 µm/(m·K): 6e-3 m · 8 K · 1.5 ÷ √3 µm/(m·K) = 0.0416 µm.
    line = next(line for line in budget(at=WARM).lines if line.name == "Expansion of the part")
    assert (line.stated, line.stated_unit) == (D("1.5"), "µm/(m·K)")
    assert float(line.effect) == pytest.approx(6e-3 * 8 * 1.5 / math.sqrt(3) / 1000, rel=1e-3)


def test_a_stiffness_knows_no_expansion() -> None:
    rate = SMALL_SHEET.characteristic_by_key["spring-rate"]
    assert isinstance(rate, SizeCharacteristic)
    tester = INSTRUMENTS["RATE-1"]
    found = size_budget(rate, measured("100", use=tester, at=WARM))
    assert (names(found), found.unit) == (["Calibration"], "N/mm")
    assert not any("temperature" in words for words in found.unknown)


def test_a_difference_counts_every_contribution_of_two_readings() -> None:
    one, two = budget(at=None), difference_budget(MICROMETER)
    assert float(two.combined / one.combined) == pytest.approx(math.sqrt(2), rel=1e-4)
    assert names(two) == ["Calibration", "Resolution", "Repeatability"]
    assert two.expanded >= D("0.001") * D(2).sqrt()


def test_a_mean_opening_pressure_carries_the_scatter_of_its_strokes() -> None:
    gauge = replace(INSTRUMENTS["GAUGE-1"], resolution=D(1))
    found = pressure_budget([D(348), D(350), D(352)], gauge)
    assert names(found) == ["Calibration", "Resolution", "Repeatability"]
    # s = 2 bar: s ÷ √3 with 2 degrees of freedom, beside 1 bar and 1 ÷ √12 bar.
    variance = 1 + 1 / 12 + 4 / 3
    assert float(found.combined) == pytest.approx(math.sqrt(variance), rel=1e-4)
    assert found.effective_dof is not None
    assert float(found.effective_dof) == pytest.approx(variance**2 / ((4 / 3) ** 2 / 2), rel=1e-4)


@pytest.mark.parametrize("celsius", ["-40", "90", "NaN"])
def test_a_temperature_that_no_bench_has_is_refused(celsius: str) -> None:
    odd = BenchTemperature(celsius=D(celsius), half_width=D(1), measured=True)
    with pytest.raises(MetrologyError) as refusal:
        examine(GUIDE, measured("5.996", "5.997", at=odd), RULE)
    assert (refusal.value.code, refusal.value.field) == ("magnitude-absurd", "bench_temperature")


def test_u_is_never_less_than_that_of_the_calibration_even_with_a_large_k() -> None:
    # A certificate with k = 3: at 95.45 % the budget alone would come to 0.002 mm.
    careful = replace(INSTRUMENTS["MIC-1"], expanded_uncertainty=D("0.003"), k=D(3))
    found = budget(use=careful, at=None)
    assert (found.expanded, found.k, found.by_calibration) == (D("0.003"), D(3), True)


def test_the_sentence_says_value_limit_and_u() -> None:
    outcome = examine(GUIDE, measured("5.996", "5.9992"), RULE)
    for words in ("5.9992 mm", "the limit of 6 mm", "U = 0.0015 mm"):
        assert words in outcome.sentence
    assert outcome.verdict is VerdictKind.NOT_PROVEN
    assert outcome.uncertainty is not None


def examined(outcome: Outcome) -> Examined:
    return Examined(
        characteristic=GUIDE.key,
        part=GUIDE.part,
        phase=Phase.FOUND,
        measurement=measured("5.996", "5.997"),
        outcome=outcome,
    )


def test_a_measurement_is_judged_again_with_what_it_was_judged_with() -> None:
    outcome = examine(GUIDE, measured("5.996", "5.997"), RULE)
    assert judged_with(examined(outcome)) == outcome.uncertainty
    sharper = replace(MICROMETER, expanded_uncertainty=D("0.0001"))
    again = examine(GUIDE, measured("5.996", "5.997", use=sharper), RULE, judged_with(examined(outcome)))
    assert again.uncertainty == outcome.uncertainty


def test_a_verdict_from_before_budgets_is_judged_again_by_the_calibration_alone() -> None:
    outcome = examine(GUIDE, measured("5.996", "5.997"), RULE)
    before = judged_with(examined(replace(outcome, uncertainty=None)))
    assert before is not None
    assert (names(before), before.expanded, before.k) == (["Calibration"], D("0.001"), D(2))
    oval = SOUND["nozzle-ovality"]
    assert isinstance(oval, OvalityMeasurement)
    old = judged_with(replace(examined(replace(outcome, uncertainty=None)), measurement=oval))
    assert old is not None
    assert old.expanded == D("0.00283"), "U · √2, as it was judged then"
    assert judged_with(replace(examined(replace(outcome, uncertainty=None)), measurement=SOUND["body-pin"])) is None


def test_a_step_from_before_budgets_is_judged_again_by_the_gauge_alone() -> None:
    gauge = INSTRUMENTS["GAUGE-1"]
    outcome = StepOutcome(passed=True, value="", limit="", sentence="")
    opening = OpeningPressureResult(strokes_bar=(D(350), D(355), D(351)))
    step = BenchStepRecorded(run=1, step="opening", result=opening, outcome=outcome)
    assert step_judged_with(step, gauge) == calibration_budget(gauge)
    assert step_judged_with(replace(step, result=VentResult(air_free=True)), gauge) is None
    kept = pressure_budget(opening.strokes_bar, gauge)
    assert step_judged_with(replace(step, outcome=replace(outcome, uncertainty=kept)), gauge) == kept


SPREADS = st.integers(min_value=0, max_value=50).map(lambda tenths: D(tenths) / 10_000)


@given(SPREADS, st.integers(1, 20), st.integers(1, 20))
def test_more_repeats_with_the_same_spread_never_widen_u(spread: D, few: int, more: int) -> None:
    def of(pairs: int) -> UncertaintyBudget:
        # Pairs at ± d have s = d · √(2n ÷ (2n − 1)): d is chosen so that s is the same for every n.
        distance = spread * (D(2 * pairs - 1) / D(2 * pairs)).sqrt()
        readings = [D("5.996") - distance, D("5.996") + distance] * pairs
        return size_budget(REPEATED, SizeMeasurement(readings=tuple(readings), instrument=MICROMETER))

    small, large = sorted((few, more))
    assert of(large).expanded <= of(small).expanded


@given(
    st.integers(0, 400), st.integers(0, 400), st.sampled_from([None, USUAL, WARM]), st.sampled_from(["0", "1", "1.5"])
)
def test_the_verdict_grows_no_milder_as_the_value_goes_out(
    one: int, other: int, at: BenchTemperature | None, factor: str
) -> None:
    near, far = sorted((one, other))
    item = replace(GUIDE, readings=1, limits=SizeLimits(upper=D("6.000")))

    def severity(tenths: int) -> int:
        reading = D("5.980") + D(tenths) / 10_000
        found = SizeMeasurement(readings=(reading,), instrument=MICROMETER, temperature=at)
        return SEVERITY[examine(item, found, DecisionRule(D(factor))).verdict]

    assert severity(near) <= severity(far)


@given(
    st.integers(5900, 6060),
    st.sampled_from([None, D("0.001"), D("0.01")]),
    st.sampled_from([None, D("0.0002"), D("0.003")]),
    st.sampled_from([None, USUAL, WARM]),
    st.sampled_from([DecisionRule(), DecisionRule(probability=D("0.95"))]),
)
def test_a_verdict_is_never_milder_than_by_the_calibration_alone(
    micrometres: int, step: D | None, scatter: D | None, at: BenchTemperature | None, rule: DecisionRule
) -> None:
    item = replace(GUIDE, readings=1, limits=SizeLimits(lower=D("5.950"), upper=D("6.000")))
    use = replace(
        MICROMETER,
        resolution=step,
        repeatability=scatter,
        repeatability_readings=None if scatter is None else 10,
        kind=InstrumentKind.MICROMETER,
    )
    found = SizeMeasurement(readings=(D(micrometres) / 1000,), instrument=use, temperature=at)
    full, alone = examine(item, found, rule), examine(item, found, rule, calibration_budget(use))
    if full.verdict is VerdictKind.CONFORMS:
        assert alone.verdict is VerdictKind.CONFORMS
    if full.verdict is VerdictKind.DOES_NOT_CONFORM:
        assert alone.verdict is VerdictKind.DOES_NOT_CONFORM, "a wider band proves less, on either side"
    assert (full.consequence is None) == (full.verdict is VerdictKind.CONFORMS)
    assert full.consequence in (None, Disposition.REPLACE_ASSEMBLY)


def test_a_corrected_error_shifts_the_value_and_keeps_the_budget() -> None:
    warm = measured("5.996", "5.997", at=WARM)
    item = replace(examined(examine(GUIDE, warm, RULE)), measurement=warm)
    again = judge_corrected(item, SMALL_SHEET, Correction(error=D("-0.0025")), RULE)
    assert again.reason.startswith("5.9995 mm is inside the limit of 6 mm by 0.0005 mm only; with U = 0.0015 mm")
    plainer = replace(item, outcome=replace(item.outcome, uncertainty=None))
    before = judge_corrected(plainer, SMALL_SHEET, Correction(error=D("-0.0025")), RULE)
    assert "U = 0.001 mm" in before.reason, "a reading from before budgets keeps the U that it was judged with"
