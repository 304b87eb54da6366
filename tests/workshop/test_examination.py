"""Every kind of characteristic with every verdict that it can come to."""

from decimal import Decimal as D

import pytest

from service.metrology.errors import DomainError
from service.workshop.decision_rule import DecisionRule
from service.workshop.examination import ExaminationRefused, examine
from service.workshop.measurements import Measurement, Outcome, PinMeasurement, PinTried, SizeMeasurement
from service.workshop.vocabulary import Disposition, VerdictKind
from tests.small_findings import REJECTED, SOUND, pins, roundness, seen, sizes
from tests.small_sheet import INSTRUMENTS, SMALL_SHEET

CONFORMS, NOT_PROVEN, FAILS = VerdictKind.CONFORMS, VerdictKind.NOT_PROVEN, VerdictKind.DOES_NOT_CONFORM


def judged(key: str, measurement: Measurement, guard: str = "1") -> Outcome:
    return examine(SMALL_SHEET.characteristic_by_key[key], measurement, DecisionRule(D(guard)))


def refused(key: str, measurement: Measurement) -> DomainError:
    with pytest.raises(DomainError) as refusal:
        judged(key, measurement)
    return refusal.value


@pytest.mark.parametrize("key", SOUND)
def test_a_sound_part_conforms_and_asks_for_nothing(key: str) -> None:
    outcome = judged(key, SOUND[key])
    assert (outcome.verdict, outcome.consequence) == (CONFORMS, None)


@pytest.mark.parametrize("key", REJECTED)
def test_a_defect_does_not_conform_and_names_its_consequence(key: str) -> None:
    outcome = judged(key, REJECTED[key])
    assert outcome.verdict is FAILS
    assert outcome.consequence is SMALL_SHEET.characteristic_by_key[key].consequence
    assert outcome.sentence
    assert outcome.limit
    assert outcome.rule


# 6 h6 lies between 5.992 and 6.000 mm (ISO 286-2); the micrometer's U of 0.001 mm is the guard band.
@pytest.mark.parametrize(
    ("reading", "verdict"),
    [
        ("5.9909", FAILS),
        ("5.991", FAILS),
        ("5.9911", NOT_PROVEN),
        ("5.992", NOT_PROVEN),
        ("5.9929", NOT_PROVEN),
        ("5.993", CONFORMS),
        ("5.999", CONFORMS),
        ("5.9991", NOT_PROVEN),
        ("6.000", NOT_PROVEN),
        ("6.0009", NOT_PROVEN),
        ("6.001", FAILS),
    ],
)
def test_near_a_limit_there_are_three_verdicts(reading: str, verdict: VerdictKind) -> None:
    assert judged("needle-guide", sizes("MIC-1", "5.996", reading)).verdict is verdict


def test_not_proven_is_not_a_pass_and_says_what_to_do() -> None:
    outcome = judged("needle-guide", sizes("MIC-1", "5.996", "5.9995"))
    assert outcome.consequence is Disposition.REPLACE_ASSEMBLY
    assert "Measure with a better instrument or ask for a concession" in outcome.sentence


def test_simple_acceptance_takes_the_limit_itself() -> None:
    assert judged("needle-guide", sizes("MIC-1", "5.992", "6.000"), guard="0").verdict is CONFORMS


def test_the_worst_of_several_readings_decides() -> None:
    assert "5.98 mm" in judged("needle-guide", sizes("MIC-1", "5.980", "5.9995")).sentence


def test_a_one_sided_limit_leaves_the_other_side_open() -> None:
    assert judged("spring-length", sizes("HEIGHT-1", "75")).verdict is CONFORMS
    assert judged("spring-length", sizes("HEIGHT-1", "59.5")).verdict is NOT_PROVEN
    assert judged("body-seat-width", sizes("MIC-1", "0.01")).verdict is CONFORMS


def test_too_few_readings_are_refused() -> None:
    assert refused("needle-guide", sizes("MIC-1", "5.996")).field == "readings"


@pytest.mark.parametrize("reading", ["9000", "-1", "0", "NaN", "Infinity"])
def test_a_size_that_nobody_can_have_measured_is_refused(reading: str) -> None:
    error = refused("needle-guide", sizes("MIC-1", "5.996", reading))
    assert (error.code, error.field) == ("magnitude-absurd", "readings")


def test_the_reject_pin_entering_one_hole_rejects_the_nozzle() -> None:
    outcome = judged("nozzle-holes", pins(reject_enters=(3,)))
    assert outcome.verdict is FAILS
    assert outcome.failed_holes == (3,)
    assert "one hole is enough to reject the nozzle" in outcome.sentence
    assert outcome.consequence is Disposition.REPLACE


def test_a_go_pin_that_does_not_enter_asks_for_cleaning_first() -> None:
    outcome = judged("nozzle-holes", pins(go_refused=(1, 4)))
    assert outcome.verdict is FAILS
    assert outcome.failed_holes == (1, 4)
    assert outcome.consequence is Disposition.REWORK
    assert "clean it and gauge again" in outcome.sentence


def test_a_reject_pin_outweighs_a_blocked_hole() -> None:
    outcome = judged("nozzle-holes", pins(go_refused=(1,), reject_enters=(2,)))
    assert outcome.consequence is Disposition.REPLACE
    assert outcome.failed_holes == (1, 2)


def test_pins_that_contradict_each_other_are_refused() -> None:
    assert refused("nozzle-holes", pins(go_refused=(2,), reject_enters=(2,))).code == "pins-contradict"


def test_a_pin_that_does_not_enter_between_two_that_do_is_refused() -> None:
    more = (PinTried(hole=1, pin=D("0.84"), enters=False), *pins().passes)
    assert refused("nozzle-holes", pin_measurement(more)).code == "pins-contradict"


def test_a_hole_not_answered_is_refused_by_its_number() -> None:
    passes = tuple(one for one in pins().passes if not (one.hole == 3 and one.pin == D("0.88")))
    error = refused("nozzle-holes", pin_measurement(passes))
    assert (error.code, error.field) == ("pin-not-tried", "hole-3")
    assert "0.88 mm" in error.sentence


def pin_measurement(passes: tuple[PinTried, ...]) -> PinMeasurement:
    return PinMeasurement(passes=passes, instrument=INSTRUMENTS["PINS-1"])


@pytest.mark.parametrize(("hole", "pin", "code"), [(5, "0.85", "hole"), (0, "0.85", "hole"), (1, "0.90", "pin")])
def test_a_hole_or_a_pin_that_the_sheet_does_not_have_is_refused(hole: int, pin: str, code: str) -> None:
    odd = (*pins().passes, PinTried(hole=hole, pin=D(pin), enters=True))
    assert refused("nozzle-holes", pin_measurement(odd)).code == code


def test_ovality_in_one_hole_rejects() -> None:
    outcome = judged("nozzle-ovality", roundness(2))
    assert outcome.verdict is FAILS
    assert outcome.failed_holes == (2,)


@pytest.mark.parametrize(("ovality", "verdict"), [("0.0170", CONFORMS), ("0.0200", NOT_PROVEN), ("0.0230", FAILS)])
def test_ovality_has_three_verdicts_too(ovality: str, verdict: VerdictKind) -> None:
    # U of a difference of two readings with U = 0.002 mm is 0.00283 mm (JCGM 100, 5.1.2).
    assert judged("nozzle-ovality", roundness(1, by=ovality)).verdict is verdict


def test_every_hole_is_measured_in_every_direction() -> None:
    whole = roundness()
    fewer = type(whole)(diameters=whole.diameters[:3], instrument=whole.instrument)
    assert refused("nozzle-ovality", fewer).code == "sections-missing"
    short = type(whole)(diameters=(*whole.diameters[:3], (D("0.86"),)), instrument=whole.instrument)
    error = refused("nozzle-ovality", short)
    assert (error.code, error.field) == ("directions-missing", "section-4")


@pytest.mark.parametrize(
    ("magnification", "code"),
    [(None, "magnification-missing"), ("5", "magnification-low"), ("20", "magnification-high")],
)
def test_a_seat_is_looked_at_under_the_magnification_of_the_sheet(magnification: str | None, code: str) -> None:
    error = refused("needle-seat", seen("even", at=magnification))
    assert (error.code, error.field) == (code, "magnification")


@pytest.mark.parametrize("magnification", ["8", "10"])
def test_the_ends_of_the_magnification_are_allowed(magnification: str) -> None:
    assert judged("needle-seat", seen("even", at=magnification)).verdict is CONFORMS


@pytest.mark.parametrize("magnification", ["NaN", "-3", "0", "1e9"])
def test_a_magnification_that_nobody_can_have_used_is_refused(magnification: str) -> None:
    assert refused("body-cracks", seen("none", at=magnification)).field == "magnification"


def test_a_finding_is_chosen_from_the_sheets_own_list() -> None:
    assert refused("body-cracks", seen()).code == "finding-missing"
    assert refused("body-cracks", seen("dent")).code == "finding-unknown"
    assert refused("nozzle-tip", seen("clean", "coked")).code == "findings-contradict"


def test_a_finding_for_rework_asks_for_rework_and_a_worse_one_overrules_it() -> None:
    assert judged("nozzle-tip", seen("coked")).consequence is Disposition.REWORK
    assert judged("nozzle-tip", seen("coked", "burnt")).consequence is Disposition.REPLACE


def test_a_measurement_of_another_kind_is_refused() -> None:
    with pytest.raises(ExaminationRefused) as refusal:
        judged("body-pin", SizeMeasurement(readings=(D(1),), instrument=INSTRUMENTS["MIC-1"]))
    assert refusal.value.code == "wrong-measurement"
