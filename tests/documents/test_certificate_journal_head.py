"""The journal's head on a certificate: whole, on one line, and only where there is one."""

from dataclasses import replace

from service.documents.certificate import certificate_pdf
from tests.documents.invented_record import HEADER, worn_injector
from tests.documents.printed import reader_of

HEAD = "0123456789abcdef" * 4


def test_the_head_is_printed_whole_under_its_label_so_that_it_can_be_copied() -> None:
    pdf = certificate_pdf(replace(HEADER, journal_head=HEAD), worn_injector())
    lines = [line for page in reader_of(pdf).pages for line in page.extract_text().splitlines()]
    assert any(HEAD in line for line in lines)
    assert any("Journal head" in line for line in lines)


def test_a_certificate_without_a_head_has_no_line_for_it() -> None:
    pdf = certificate_pdf(HEADER, worn_injector())
    assert not any("Journal head" in page.extract_text() for page in reader_of(pdf).pages)
