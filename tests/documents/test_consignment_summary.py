"""The summary of a consignment as a document."""

from dataclasses import replace
from datetime import UTC, datetime

import pytest

from service.documents.consignment_summary import ConsignmentSummary, SummaryLine, consignment_summary_pdf
from service.documents.letterhead import Letterhead, Paper
from tests.documents.printed import page_words, words_of

LINE = SummaryLine(
    serial="SN-1",
    injector_type="INV-60",
    place="Main engine, cylinder 3",
    outcome="Released",
    done=("Spindle guide reworked", "Nozzle new"),
    certificate="RC-2026-00001",
    check_url="https://workshop.example/certificates/abc",
)
SUMMARY = ConsignmentSummary(
    workshop_name="Invented Quay Injector Workshop",
    workshop_address="Quay 0, 00000 Nowhere",
    operator="Invented Shipping Company",
    vessel="Paper Boat",
    imo_number="9074729",
    number="C-2026-0019",
    reference="PO 7",
    received_at=datetime(2026, 3, 2, 8, 30, tzinfo=UTC),
    lines=(LINE, replace(LINE, serial="SN-2", outcome="Examined, held", done=(), certificate="", check_url="")),
    made_at=datetime(2026, 3, 9, 14, 5, tzinfo=UTC),
    demo=False,
)


def test_it_tells_each_injector_its_outcome_and_its_certificate() -> None:
    words = words_of(consignment_summary_pdf(SUMMARY, Letterhead()))
    for told in (
        "Summary of consignment C-2026-0019",
        "Paper Boat, IMO 9074729",
        "2 injectors, 1 of them with a certificate in force",
        "RC-2026-00001",
        "Spindle guide reworked; Nozzle new",
        "Examined, held",
        "nothing renewed or reworked",
        "none in force",
        "Page 1 of 1",
        "End of summary C-2026-0019",
    ):
        assert told in words
    assert "https://workshop.example/certificates/abc" in words.replace(" ", "")
    assert "DEMONSTRATION" not in words


def test_the_demonstration_says_so_on_every_page() -> None:
    lines = tuple(replace(LINE, serial=f"SN-{number}") for number in range(60))
    pages = page_words(consignment_summary_pdf(replace(SUMMARY, lines=lines, demo=True), Letterhead(Paper.LETTER)))
    assert len(pages) > 1
    assert all("DEMONSTRATION" in page for page in pages)
    assert all(f"SN-{number} " in " ".join(pages) for number in range(60))


def test_the_same_summary_gives_the_same_bytes() -> None:
    assert consignment_summary_pdf(SUMMARY, Letterhead()) == consignment_summary_pdf(SUMMARY, Letterhead())


def test_words_of_others_are_never_markup() -> None:
    odd = replace(SUMMARY, operator='#import "x" *bold* $x$', reference="= Heading")
    words = words_of(consignment_summary_pdf(odd, Letterhead()))
    assert "#import" in words
    assert "*bold*" in words
    assert "= Heading" in words


@pytest.mark.parametrize("lines", [()])
def test_a_consignment_without_injectors_is_said_to_have_none(lines: tuple[SummaryLine, ...]) -> None:
    assert "0 injectors" in words_of(consignment_summary_pdf(replace(SUMMARY, lines=lines), Letterhead()))
