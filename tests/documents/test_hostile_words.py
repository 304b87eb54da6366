"""Whatever people type reaches the page as words: never as markup, never lost, never off the page."""

from dataclasses import fields, replace
from datetime import UTC, datetime

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from service.documents.certificate import certificate_pdf, certificate_pictures
from service.documents.legible_text import drawn_characters, legible
from service.documents.typesetting import STANDARDS
from tests.documents.invented_record import HEADER, worn_injector
from tests.documents.printed import dark_beyond, words_of

RECORD = worn_injector()
MARKUP = '#panic("x") $ \\ <b> @ref `raw` *bold* _it_ // /* = [ ] { } https://x.example {{ 7*7 }} <a>'


def test_markup_of_the_typesetter_is_printed_as_it_was_typed() -> None:
    assert MARKUP in words_of(certificate_pdf(replace(HEADER, remark=MARKUP), RECORD))


def test_every_text_of_the_header_may_hold_markup() -> None:
    texts = [f.name for f in fields(HEADER) if isinstance(getattr(HEADER, f.name), str)]
    header = replace(HEADER, **{name: f"{name} #panic($" for name in texts})
    words = words_of(certificate_pdf(header, RECORD))
    for name in texts:
        assert f"{name} #panic($" in words


def test_words_without_a_place_to_break_stay_inside_the_margins() -> None:
    long = "W" * 60
    header = replace(HEADER, serial=long, number=long, vessel_name="M" * 200, remark="x" * 300, signed_by="Q" * 120)
    header = replace(
        header, workshop_name="N" * 90, engine="E" * 150, check_url="https://workshop.example/" + "c" * 120
    )
    unbroken = words_of(certificate_pdf(header, RECORD)).replace(" ", "")
    for said in (long, "x" * 300, "M" * 200, "Q" * 120, header.check_url):
        assert said in unbroken
    for page in certificate_pictures(header, RECORD):
        assert dark_beyond(page, width_mm=210, margin_mm=17) == 0


def test_a_certificate_without_the_optional_facts_is_still_set() -> None:
    header = replace(HEADER, running_hours=None, remark="", position="", injector_type_name="", workshop_address="")
    header = replace(header, workshop_name="", engine="", fuel="", packing="", decision_rule="")
    words = words_of(certificate_pdf(header, RECORD))
    assert "Running hours not known" in words
    assert "Remark on receipt" not in words


@pytest.mark.parametrize("name", ["Łódź", "Ærøskøbing", "Σπέτσες", "Севастополь", "Đặng Thị Hương", "İzmir", "Nuuk ⅓"])
def test_names_in_latin_greek_and_cyrillic_are_printed(name: str) -> None:
    assert name in words_of(certificate_pdf(replace(HEADER, vessel_name=name), RECORD))


@pytest.mark.parametrize(
    ("typed", "shown"),
    [
        ("日本丸", "[U+65E5][U+672C][U+4E38]"),
        ("ship 🚢", "ship [U+1F6A2]"),
        ("a\x00b\tc\r\nd", "a b c d"),
        ("SN\u200b-1\u202e23", "SN-123"),
        ("e\u0301", "é"),
        ("\ud800", "[U+D800]"),
        ("\ue000", "[U+E000]"),
        ("no\u00a0break", "no break"),
    ],
)
def test_signs_without_a_glyph_are_named_and_hidden_signs_are_taken_out(typed: str, shown: str) -> None:
    assert legible(typed) == shown
    assert shown.split()[0] in words_of(certificate_pdf(replace(HEADER, remark=typed), RECORD))


def test_every_character_that_counts_as_drawn_can_be_set_under_both_standards() -> None:
    import json

    import typst

    source = b'#set document(title: "T")\n#set text(lang: "en", font: ("Libertinus Serif", "DejaVu Sans Mono"))\n'
    source += b'#for one in json("all.json") [#one #parbreak()]'
    files = {"main.typ": source, "all.json": json.dumps(sorted(drawn_characters())).encode("ascii")}
    assert typst.compile(files, format="pdf", ignore_system_fonts=True, pdf_standards=STANDARDS)


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=80))
def test_no_text_whatever_stops_a_certificate(typed: str) -> None:
    header = replace(HEADER, remark=typed, vessel_name=typed, serial=typed, number=typed, signed_by=typed)
    assert certificate_pdf(header, RECORD).startswith(b"%PDF-1.7")


@given(st.text())
def test_legible_text_is_one_line_of_drawn_signs_and_stays_as_it_is(typed: str) -> None:
    shown = legible(typed)
    assert set(shown) <= drawn_characters()
    assert legible(shown) == shown


def test_the_present_moment_can_be_printed() -> None:
    assert certificate_pdf(replace(HEADER, issued_at=datetime.now(UTC)), RECORD)
