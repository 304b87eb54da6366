"""An expanded uncertainty is worth what its coverage factor says: u = U / k in every verdict. Figures are invented.

The rule asks for 97.5 % probability, that is 1.96 standard uncertainties inside a limit (JCGM 106:2012, 8.3; the
quantile of the normal distribution). Each value below lies inside by more than 1.96 · U / 2 and less than 1.96 · U.
"""

from dataclasses import replace
from decimal import Decimal as D

import pytest

from service.workshop.bench_judgement import judge_step
from service.workshop.calibration import CalibratedPoint
from service.workshop.correction import Correction
from service.workshop.decision_rule import DecisionRule
from service.workshop.entries import Examined
from service.workshop.examination import examine
from service.workshop.instrument_fitness import fit_for_reading
from service.workshop.measurements import InstrumentUse, Measurement, OvalityMeasurement, SizeMeasurement
from service.workshop.recall import judge_corrected
from service.workshop.recalled_pins import changed_pins
from service.workshop.step_results import OpeningPressureResult
from service.workshop.vocabulary import Phase, VerdictKind
from tests.small_sheet import INSTRUMENTS, SMALL_SHEET
from tests.workshop.test_instrument_fitness import CALIBRATION, MICROMETER, TODAY

PROBABILITY = DecisionRule(probability=D("0.975"))
ONE, TWO = D(1), D(2)


def use(code: str, expanded: str, k: D) -> InstrumentUse:
    return replace(INSTRUMENTS[code], expanded_uncertainty=D(expanded), k=k)


def width(k: D) -> SizeMeasurement:
    """1.1985 mm against at most 1.20 mm with U = 0.001 mm: inside by 0.0015 mm."""
    return SizeMeasurement(readings=(D("1.1985"),), instrument=use("MIC-1", "0.001", k))


def ovality(k: D) -> OvalityMeasurement:
    """0.016 mm against at most 0.020 mm with U·√2 = 0.0028 mm: inside by 0.004 mm."""
    sections = ((D("0.860"), D("0.876")),) * SMALL_SHEET.characteristic_by_key["nozzle-ovality"].sections  # type: ignore[union-attr]
    return OvalityMeasurement(diameters=sections, instrument=use("BORE-1", "0.002", k))


@pytest.mark.parametrize(("key", "measured"), [("body-seat-width", width), ("nozzle-ovality", ovality)])
def test_a_size_and_an_ovality_proven_with_k_2_are_not_proven_with_k_1(key: str, measured: object) -> None:
    item = SMALL_SHEET.characteristic_by_key[key]

    def verdict(k: D) -> VerdictKind:
        return examine(item, measured(k), PROBABILITY).verdict  # type: ignore[operator]

    assert (verdict(TWO), verdict(ONE)) == (VerdictKind.CONFORMS, VerdictKind.NOT_PROVEN)


def test_a_recall_judges_again_with_the_k_of_the_reading() -> None:
    item = SMALL_SHEET.characteristic_by_key["body-seat-width"]

    def again(measured: Measurement) -> str:
        outcome = examine(item, measured, PROBABILITY)
        entry = Examined(
            characteristic=item.key, part=item.part, phase=Phase.FOUND, measurement=measured, outcome=outcome
        )
        return judge_corrected(entry, SMALL_SHEET, Correction(), DecisionRule()).after

    assert (again(width(TWO)), again(width(ONE))) == ("Conforms", "Not proven")


def test_an_opening_pressure_proven_with_k_2_fails_with_k_1() -> None:
    # 345 bar at least: 350 bar lies inside by 5 bar; U = 4 bar.
    plan = SMALL_SHEET.test_plan
    result = OpeningPressureResult(strokes_bar=(D(350),) * 3)

    def passed(k: D) -> bool:
        return judge_step(plan, plan.step_by_key["opening"], result, use("GAUGE-1", "4", k), PROBABILITY).passed

    assert (passed(TWO), passed(ONE)) == (True, False)


@pytest.mark.parametrize(
    ("stated", "k", "taken"),
    [
        ("0.002", "1", ("0.004", "2")),  # a standard uncertainty, twice as wide with k = 2
        ("0.002", "1.65", ("0.00243", "2")),  # 0.002 · 2 / 1.65 = 0.0024242..., rounded up
        ("0.002", "2", ("0.002", "2")),
        ("0.0021", "2.13", ("0.0021", "2.13")),  # few degrees of freedom: it covers about 95 % as it stands
        ("0.003", "3", ("0.003", "3")),
        ("0", "1", ("0", "2")),
    ],
)
def test_a_certificate_with_a_small_k_is_brought_to_k_2_and_no_other_is_touched(
    stated: str, k: str, taken: tuple[str, str]
) -> None:
    calibration = replace(CALIBRATION, expanded_uncertainty=D(stated), k=D(k))
    found = fit_for_reading(MICROMETER, calibration, kinds=(), unit="mm", on=TODAY, field="instrument")
    assert (found.expanded_uncertainty, found.k) == (D(taken[0]), D(taken[1]))


def test_a_pin_has_moved_only_by_more_than_its_uncertainty_with_k_2() -> None:
    # The mark says 0.85 mm and the certificate 0.8485 mm: moved by 0.0015 mm.
    failed = replace(CALIBRATION, points=(CalibratedPoint(nominal=D("0.85"), error=D("-0.0015")),))
    with_k = [replace(failed, expanded_uncertainty=D("0.001"), k=k) for k in (TWO, ONE)]
    assert [changed_pins(None, one) for one in with_k] == [{D("0.85"): D("0.8485")}, {}]
