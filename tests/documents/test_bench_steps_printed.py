"""The bench section of a certificate: back leakage with its cylinder, and what nobody could tell at first."""

from service.documents.bench_section import as_found_blocks, proving_blocks
from service.documents.certificate import certificate_pdf
from service.documents.instruments_section import instruments_used
from service.workshop.step_results import VentResult
from service.workshop.vocabulary import RunPurpose
from tests.documents.invented_record import HEADER
from tests.documents.printed import words_of
from tests.longer_plan import CYLINDER, LONGER_PASSING, LONGER_SHEET
from tests.workshop.overhaul_by_hand import ByHand


def proved() -> ByHand:
    """An injector proved on the longer plan: air could not be told at first."""
    hand = ByHand(LONGER_SHEET)
    hand.strip()
    hand.examine_all()
    hand.settle_all()
    hand.rebuild()
    run = hand.start_run()
    hand.step(run, "vent", VentResult(air_free=None))
    for step in LONGER_SHEET.test_plan.steps:
        hand.step(run, step.key, LONGER_PASSING[step.key])
    return hand


def test_back_leakage_stands_with_its_cylinder_flow_and_doubt() -> None:
    hand = proved()
    words = words_of(certificate_pdf(HEADER, hand.record))
    for told in (
        "6 ml in 60 s at 200 bar, 6 ml/min",
        "Measuring cylinder CYL-1, cal.",
        "2 to 10 ml in 60 s at 200 bar",
        "clean after 60 s or more",
    ):
        assert told in words, told
    assert CYLINDER in instruments_used(hand.record)


def test_a_step_that_was_recorded_again_shows_what_was_recorded_before() -> None:
    *_, before = proving_blocks(proved().record)
    assert before["items"] == [
        "Recorded before, Fill and vent: Nobody could tell whether air still comes with the oil."
    ]


def test_an_as_found_step_that_nobody_could_tell_of_is_no_fail() -> None:
    hand = ByHand(LONGER_SHEET)
    run = hand.start_run(RunPurpose.AS_FOUND)
    hand.step(run, "vent", VentResult(air_free=None))
    _, table = as_found_blocks(hand.record)
    assert table["rows"][0]["cells"][4] == {"text": "Cannot tell", "note": "", "strong": True}
