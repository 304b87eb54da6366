"""The tray label: one small page, a serial to read from across the bench, a code to scan."""

from dataclasses import replace
from datetime import UTC, date, datetime

from service.documents.tray_label import TrayLabel, tray_label_pdf, tray_label_picture
from tests.documents.printed import dark_beyond, qr_texts, reader_of, words_of

PRINTED = datetime(2026, 3, 2, 9, 0, tzinfo=UTC)
LABEL = TrayLabel(
    workshop_name="Invented Quay Injector Workshop",
    serial="SN-48213-B",
    injector_type="INV-60",
    overhaul_number="O-2026-0107",
    vessel_name="Paper Boat",
    cylinder=3,
    due=date(2026, 3, 20),
    unit_url="https://workshop.example/units/SN-48213-B",
)
MM_PER_POINT = 25.4 / 72  # the PDF point: ISO 32000-1 8.3.2.3


def test_the_label_is_one_page_of_100_by_62_mm() -> None:
    pages = reader_of(tray_label_pdf(LABEL, PRINTED)).pages
    assert len(pages) == 1
    box = pages[0].mediabox
    assert round(float(box.width) * MM_PER_POINT, 1) == 100
    assert round(float(box.height) * MM_PER_POINT, 1) == 62


def test_the_label_says_whose_injector_it_is_and_when_it_is_due() -> None:
    words = words_of(tray_label_pdf(LABEL, PRINTED))
    for said in ("SN-48213-B", "INV-60", "O-2026-0107", "Paper Boat", "Cylinder 3", "20 Mar 2026", LABEL.workshop_name):
        assert said in words


def test_the_code_on_the_label_opens_the_unit() -> None:
    assert qr_texts(tray_label_picture(LABEL)) == [LABEL.unit_url]


def test_a_label_without_a_due_date_says_so() -> None:
    assert "not agreed" in words_of(tray_label_pdf(replace(LABEL, due=None), PRINTED))


def test_long_and_hostile_words_keep_to_one_label_and_leave_the_code_readable() -> None:
    label = replace(LABEL, serial="W" * 60, vessel_name='#panic("x") ' * 12, workshop_name="Long name " * 20)
    assert len(reader_of(tray_label_pdf(label, PRINTED)).pages) == 1
    assert "W" * 60 in words_of(tray_label_pdf(label, PRINTED)).replace(" ", "")
    assert '#panic("x")' in words_of(tray_label_pdf(label, PRINTED))
    picture = tray_label_picture(label)
    assert qr_texts(picture) == [LABEL.unit_url]
    assert dark_beyond(picture, width_mm=100, margin_mm=3.5) == 0


def test_the_same_label_printed_at_the_same_moment_is_the_same_file() -> None:
    assert tray_label_pdf(LABEL, PRINTED) == tray_label_pdf(LABEL, PRINTED)
