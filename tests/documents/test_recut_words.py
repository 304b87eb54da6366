"""The certificate tells the size before and after each recut, and what is left to the rework limit."""

from service.documents.attached_facts import attached_facts
from service.documents.certificate import certificate_pdf
from service.documents.recut_words import recut_facts, recut_note
from service.workshop.entries import PartFitted, PartReworked
from service.workshop.overhaul_record import OverhaulRecord
from service.workshop.vocabulary import Disposition, Phase, Stage
from tests.documents.invented_record import HEADER
from tests.documents.printed import words_of
from tests.small_findings import sizes
from tests.workshop.overhaul_by_hand import ByHand, at_stage

SEAT = "body-seat-width"


def recut_twice() -> ByHand:
    hand = at_stage(Stage.EXAMINED, {SEAT: sizes("MIC-1", "1.05")})
    hand.settle("body", Disposition.REWORK, "Seat line broken.")
    for part in ("nozzle", "needle", "spring", "seal-ring"):
        hand.settle(part)
    for size in ("1.100", "1.130"):
        hand.put(PartReworked(part="body", method="Milled."))
        hand.examine(SEAT, sizes("MIC-1", size), Phase.AFTER_REWORK)
    return hand


def note(record: OverhaulRecord) -> str:
    return recut_note(record, record.sheet.characteristic_by_key[SEAT])


def test_each_recut_is_printed_with_what_it_took_and_what_is_left_but_no_forecast() -> None:
    hand = recut_twice()
    hand.rebuild()
    hand.prove()
    words = words_of(certificate_pdf(HEADER, hand.record))
    assert "1.05 mm before, 1.100 mm after: 0.05 mm taken towards the rework limit." in words
    assert "1.100 mm before, 1.130 mm after: 0.03 mm taken towards the rework limit." in words
    assert "0.47 mm to the rework limit of 1.6 mm (U = 0.001 mm)." in words
    assert "no promise" not in words


def test_machines_read_the_recuts_as_well() -> None:
    record = recut_twice().record
    first, second = attached_facts(HEADER, record)["recuts"]
    assert first == {
        "characteristic": SEAT,
        "before_mm": "1.05",
        "after_mm": "1.100",
        "taken_mm": "0.05",
        "rework_limit_mm": "1.6",
    }
    assert (second["before_mm"], second["after_mm"], second["taken_mm"]) == ("1.100", "1.130", "0.03")


def test_a_part_renewed_after_its_recut_leaves_no_metal_to_tell_of() -> None:
    hand = recut_twice()
    hand.settle("body", Disposition.REPLACE, "Cracked.")
    hand.put(PartFitted(item="body", batch="B-7"))
    assert "to the rework limit of" not in note(hand.record)
    assert "1.130 mm after" in note(hand.record)


def test_what_was_not_recut_has_no_note() -> None:
    record = at_stage(Stage.EXAMINED).record
    assert [recut_note(record, item) for item in record.sheet.characteristics] == [""] * 10
    assert recut_facts(record) == []
