"""The bench section of a certificate tells the rig: its dial, its oil, its check, and why a test was indicative."""

from datetime import UTC, date, datetime
from decimal import Decimal

from service.documents.bench_section import as_found_blocks
from service.documents.certificate import certificate_pdf
from service.documents.rig_words import rig_sentences
from service.workshop.entries import BenchRunStarted
from service.workshop.test_rig import RigOil, RigUse
from service.workshop.vocabulary import RunPurpose
from tests.documents.invented_record import HEADER
from tests.documents.printed import words_of
from tests.small_findings import PASSING
from tests.small_sheet import INSTRUMENTS
from tests.workshop.overhaul_by_hand import ByHand

OIL = RigOil(name="Invented test oil", viscosity_mm2_s=Decimal("2.60"), changed_on=date(2026, 1, 12))
RIG = RigUse(
    code="RIG-1",
    unit="kgf/cm²",
    oil=OIL,
    checked_at=datetime(2026, 3, 2, 7, 10, tzinfo=UTC),
    checked_by="Tove Technician",
    check_good=True,
)
UNCHECKED = "Rig RIG-1 had not been checked on 2026-03-01."


def proved_on_its_rig() -> ByHand:
    """Tried as found on a rig that nobody had checked, proved on the rig in order."""
    hand = ByHand()
    hand.start_run(RunPurpose.AS_FOUND, UNCHECKED)
    hand.strip()
    hand.examine_all()
    hand.settle_all()
    hand.rebuild()
    run = hand.put(BenchRunStarted(purpose=RunPurpose.PROVING, gauge=INSTRUMENTS["GAUGE-1"], rig=RIG))
    for step, result in PASSING.items():
        hand.step(run, step, result)
    return hand


def test_the_certificate_prints_the_rig_its_oil_its_check_and_an_indicative_test_with_its_reason() -> None:
    words = words_of(certificate_pdf(HEADER, proved_on_its_rig().record))
    for told in (
        "Test rig RIG-1, dial in kgf/cm². Test oil Invented test oil, 2.6 mm²/s at 40 °C, changed on 12 Jan 2026.",
        "Rig checked 2 Mar 2026, 07:10 UTC by Tove Technician: good.",
        f"Indicative {UNCHECKED} Nothing of this release rests on this test.",
    ):
        assert told in words, told


def test_a_run_from_before_rigs_were_registered_is_printed_as_it_was() -> None:
    hand = ByHand()
    hand.start_run(RunPurpose.AS_FOUND)
    assert rig_sentences(None) == ""
    head, table = as_found_blocks(hand.record)
    assert head["text"].endswith("U = 2 bar.")
    assert table["kind"] == "table"
