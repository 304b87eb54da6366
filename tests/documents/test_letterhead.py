"""The workshop's paper and logo on its certificates."""

import io
from pathlib import Path

import pytest
from PIL import Image

from service.documents.certificate import certificate_pdf
from service.documents.letterhead import LOGO_BYTES, Letterhead, LogoRefused, Paper, read_letterhead
from tests.documents.invented_record import HEADER, worn_injector
from tests.documents.printed import reader_of, words_of

SVG = b'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 20 10"><rect width="20" height="10" fill="#246"/></svg>'


def png() -> bytes:
    """A small picture."""
    out = io.BytesIO()
    Image.new("RGB", (40, 20), (20, 60, 120)).save(out, "PNG")
    return out.getvalue()


@pytest.mark.parametrize(
    ("paper", "points"),
    [(Paper.A4, (595.28, 841.89)), (Paper.LETTER, (612, 792))],
    ids=["ISO 216: 210 mm by 297 mm", "letter: 8.5 in by 11 in"],
)
def test_the_page_has_the_size_of_the_paper(paper: Paper, points: tuple[float, float]) -> None:
    pages = reader_of(certificate_pdf(HEADER, worn_injector(), Letterhead(paper))).pages
    for page in pages:
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(points, abs=0.01)


def test_the_same_words_stand_on_either_paper() -> None:
    texts = [words_of(certificate_pdf(HEADER, worn_injector(), Letterhead(paper))) for paper in Paper]
    assert len({text.replace("Page 1 of", "").count(HEADER.serial) > 3 for text in texts}) == 1
    for text in texts:
        assert "End of certificate" in text


@pytest.mark.parametrize("content", [SVG, png()], ids=["svg", "png"])
def test_a_logo_stands_on_the_first_page_with_words_for_who_cannot_see_it(tmp_path: Path, content: bytes) -> None:
    file = tmp_path / "logo"
    file.write_bytes(content)
    letterhead = read_letterhead(Paper.A4, file)
    with_logo, without = (certificate_pdf(HEADER, worn_injector(), one) for one in (letterhead, Letterhead()))
    assert with_logo != without
    assert b"Logo of" in with_logo or "Logo of".encode("utf-16-be") in with_logo


@pytest.mark.parametrize("content", [b"GIF89a", b"", bytes(LOGO_BYTES + 1)])
def test_another_file_is_no_logo(tmp_path: Path, content: bytes) -> None:
    file = tmp_path / "logo"
    file.write_bytes(content)
    with pytest.raises(LogoRefused):
        read_letterhead(Paper.A4, file)
    with pytest.raises(LogoRefused, match="cannot be read"):
        read_letterhead(Paper.A4, tmp_path / "none")
