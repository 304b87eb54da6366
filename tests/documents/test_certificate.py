"""The release certificate says what a report of results must say (ISO/IEC 17025:2017, 7.8.2.1; list from memory)."""

from dataclasses import replace
from datetime import datetime, timedelta, timezone

import pytest

from service.documents.certificate import certificate_pdf, certificate_pictures
from service.documents.certificate_content import certificate_content
from service.workshop.entries import ConcessionDecided, Entry, Reopened
from service.workshop.overhaul_record import OverhaulRecord
from tests.documents.invented_record import HEADER, sixty_characteristics, worn_injector
from tests.documents.invented_sheet import SHEET
from tests.documents.printed import is_grey, page_words, qr_texts, reader_of, words_of

RECORD = worn_injector()
PDF = certificate_pdf(HEADER, RECORD)
WORDS = words_of(PDF)


@pytest.mark.parametrize(
    "said",
    [
        "Release certificate",
        "No. RC-2026-0042",
        "Invented Quay Injector Workshop",
        "Quay 0, 00000 Nowhere",
        "Invented Shipping Company",
        "Paper Boat, IMO 9074729",
        "SN-48213-B",
        "INV-60",
        "Main engine 1, cylinder 3, aft",
        "7 850 h since the last overhaul",
        "Residual fuel",
        "Dribbling",
        "Packing sound, plugs in place",
        "Two plugs oily.",
        "2 Mar 2026, 08:30 UTC",
        "9 Mar 2026, 14:05 UTC",
        "Tom Testbench, Ines Invented",
        "O-2026-0107",
        "C-2026-0019",
        "https://workshop.example/check/3f9d0c71a2",
    ],
)
def test_the_certificate_identifies_number_workshop_customer_and_injector(said: str) -> None:
    assert said in WORDS


def test_the_work_is_dated_by_its_first_and_last_entry() -> None:
    first, last = RECORD.entries[0].at, RECORD.entries[-1].at
    assert f"3 Mar 2026, {first:%H:%M} to {last:%H:%M} UTC" in WORDS


def test_the_method_names_document_revisions_decision_rule_and_the_sheets_notice() -> None:
    for said in ("INV-DOC-118", "Sheet revision 4", "ISO 14253-1, guard band 1 × U", SHEET.notice):
        assert said in WORDS


def test_every_characteristic_is_printed_in_the_sheets_order_with_value_limit_unit_and_verdict() -> None:
    place = WORDS.index("Value found")
    for item in SHEET.characteristics:
        place = WORDS.index(item.title, place)
        finding = RECORD.finding(item.key)
        assert finding is not None
        for said in (finding.outcome.value, finding.outcome.limit, finding.outcome.verdict.label):
            assert said in WORDS[place:]


@pytest.mark.parametrize(
    "said",
    [
        "61.501 mm",
        "61.50 to 62.50 mm",
        "25 H7: 25 to 25.021 mm",  # ISO 286-2: H7 above 18 to 30 mm is 0 to +21 µm
        "The 0.87 mm reject pin enters hole 3: one hole is enough to reject the nozzle.",
        "largest ovality 0.002 mm (hole 1)",
        "even, unbroken seat at 10×",
        "Under the ring.",
        "U = 0.0020 mm, k = 2 MIC-04, cal. K-2026-0117",
        "Not proven kept by concession",
        "Does not conform assembly replaced",
        "Does not conform reworked",
    ],
)
def test_a_finding_carries_its_unit_its_instrument_its_calibration_and_what_became_of_the_part(said: str) -> None:
    assert said in WORDS


def test_a_reworked_face_stands_twice_as_found_and_after_rework() -> None:
    found = WORDS.index("6 Sealing face of the body dull ring")
    assert WORDS.index("6r Sealing face of the body after rework even, unbroken seat") > found
    assert "Face lapped on the plate, grade 800, 0.01 mm removed." in WORDS


@pytest.mark.parametrize(
    "said",
    [
        "Nozzle NOx-relevant, matched: Spindle and nozzle assembly",
        "Replaced with its matched assembly",
        "Parts of a matched assembly are not replaced singly.",
        "Sealing ring, cover side seal Came out freely Renewed",
        "Every seal is renewed at each overhaul. R-2211",
        "Spindle and nozzle assembly VA-77120 Tom Testbench",
        "Stuck",
        "The rules propose: replace the part. Decided otherwise: Rate measured and good; length is at the limit.",
    ],
)
def test_every_part_has_its_disposition_its_reason_and_its_batch(said: str) -> None:
    assert said in WORDS


def test_a_concession_is_printed_with_who_decided_it_when_and_why() -> None:
    assert "One concession was granted and is printed below." in WORDS
    assert "Concession granted: Spring" in WORDS
    assert (
        "Granted by Ines Invented on 3 Mar 2026: Accepted for one interval of 4000 h; "
        "measure again at the next overhaul." in WORDS
    )


def test_a_refused_concession_is_never_printed_as_granted() -> None:
    entries = tuple(
        replace(entry, content=replace(entry.content, granted=False))
        if isinstance(entry.content, ConcessionDecided)
        else entry
        for entry in RECORD.entries
    )
    words = words_of(certificate_pdf(HEADER, replace(RECORD, entries=entries)))
    assert "Concession refused: Spring" in words
    assert "oncession granted" not in words
    assert "No concession was granted." in words
    assert "kept WITHOUT concession" in words


def test_the_bench_shows_as_found_the_run_that_counts_and_the_void_run_with_its_reason() -> None:
    assert "wet at 210 bar for 4 s" in WORDS
    assert "Oil came from the nozzle at 210 bar; it must stay dry at 300 bar." in WORDS
    counts = WORDS[WORDS.index("Proving run that counts") :]
    for step in SHEET.test_plan.steps:
        assert step.title in counts
    for said in (
        "mean 350.2 bar",
        "Strokes: 350, 351, 349.5 bar.",
        "spread at most 5 bar",
        "4 of 4 holes spray",
        "Pass",
    ):
        assert said in counts
    assert "is void. Adjusting discs were changed afterwards: Opening pressure too low." in counts
    assert "The mean opening pressure 331.3 bar is outside 340 to 360 bar, with U = " in counts


def test_discs_torques_and_instruments_are_listed() -> None:
    assert "0.2 mm added. Opening pressure too low." in WORDS
    assert "Net number of discs added: 1; the sheet allows at most 5." in WORDS
    assert "Union nut 352 N·m 340 to 360 N·m Conforms U = 4 N·m TW-07, cal. K-2026-0140" in WORDS
    for row in ("BG-02 Bore gauge 0.0015 mm K-2026-0121 30 Nov 2026", "PIN-01 Gauge pin set 0.001 mm K-2026-0098"):
        assert row in WORDS


def test_the_statements_limit_what_the_certificate_claims() -> None:
    for said in (
        "relate only to the injector identified above",
        "does not replace class approval",
        "reproduced only in full",
        "The maker's instructions, local rules, class requirements and licensed practice come first.",
        "pierces skin",
    ):
        assert said in WORDS.replace("’", "'")


def test_every_page_is_counted_and_the_last_one_ends_the_certificate_after_the_signature() -> None:
    pages = page_words(PDF)
    for number, page in enumerate(pages, start=1):
        assert f"Page {number} of {len(pages)}" in page
        assert "RC-2026-0042" in page
        assert "SN-48213-B" in page
    assert "Released and signed by Ines Invented 9 Mar 2026, 14:05 UTC" in pages[-1]
    assert "End of certificate RC-2026-0042" in pages[-1]
    assert "End of certificate" not in " ".join(pages[:-1])


def test_a_demonstration_says_so_on_every_page_and_a_real_certificate_nowhere() -> None:
    demo = page_words(certificate_pdf(replace(HEADER, demo=True), RECORD))
    assert all("DEMONSTRATION with invented data" in page for page in demo)
    assert "DEMONSTRATION" not in WORDS


def test_the_qr_code_on_the_first_page_leads_to_the_check_and_is_drawn_as_a_vector() -> None:
    first, *others = certificate_pictures(HEADER, RECORD)
    assert qr_texts(first) == [HEADER.check_url]
    assert all(qr_texts(page) == [] for page in others)
    assert not reader_of(PDF).pages[0].images


def test_nothing_is_told_by_colour_so_that_a_grey_print_says_the_same() -> None:
    assert all(is_grey(page) for page in certificate_pictures(replace(HEADER, demo=True), RECORD))


def test_nobody_signs_an_otherwise_empty_page() -> None:
    for record in (RECORD, sixty_characteristics()):
        last = page_words(certificate_pdf(HEADER, record))[-1]
        assert last.index("Cautions") < last.index("Released and signed by")


def test_a_reopening_after_the_last_run_takes_the_proof_away() -> None:
    last = RECORD.entries[-1]
    reopened = Entry(seq=last.seq + 1, at=last.at, person="Tom Testbench", content=Reopened(reason="Leak at the nut."))
    words = words_of(certificate_pdf(HEADER, replace(RECORD, entries=(*RECORD.entries, reopened))))
    assert "has NOT passed every step" in words
    assert "Proving run that counts" not in words
    assert "This run is void. The injector was reopened afterwards: Leak at the nut." in words


def test_an_empty_record_says_not_examined_and_never_conforms() -> None:
    words = words_of(certificate_pdf(HEADER, OverhaulRecord(SHEET, frozenset(), ())))
    assert words.count("Not examined") == len(SHEET.characteristics)
    assert "Not proved on the test rig." in words
    assert "Verdict Conforms" not in words
    assert "0 of 7 characteristics were examined as found" in words


def test_sixty_characteristics_break_over_pages_under_repeated_headings() -> None:
    pages = page_words(certificate_pdf(HEADER, sixty_characteristics()))
    with_bores = [page for page in pages if "Bore number" in page]
    assert len(with_bores) >= 3
    assert all("Value found Limit Verdict" in page for page in with_bores)
    everything = " ".join(pages)
    for number in range(1, 61):
        assert f"{number} Bore number {number} " in everything


def test_times_are_printed_in_utc_whatever_zone_they_came_in() -> None:
    east = HEADER.issued_at.astimezone(timezone(timedelta(hours=9)))
    assert "9 Mar 2026, 14:05 UTC" in words_of(certificate_pdf(replace(HEADER, issued_at=east), RECORD))


def test_a_date_without_zone_is_refused() -> None:
    with pytest.raises(ValueError, match="time zone"):
        certificate_pdf(replace(HEADER, issued_at=datetime(2026, 3, 9)), RECORD)  # noqa: DTZ001 - the fault itself


def test_the_content_is_plain_strings_without_any_markup_of_the_typesetter() -> None:
    def leaves(value: object) -> list[object]:
        if isinstance(value, dict):
            return [leaf for one in value.values() for leaf in leaves(one)]
        if isinstance(value, list):
            return [leaf for one in value for leaf in leaves(one)]
        return [value]

    assert {type(leaf) for leaf in leaves(certificate_content(HEADER, RECORD))} == {str, bool}
