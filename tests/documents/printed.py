"""Reads what a PDF or a picture of a page says."""

from io import BytesIO

import numpy as np
import zxingcpp
from PIL import Image
from pypdf import PdfReader


def reader_of(pdf: bytes) -> PdfReader:
    """The PDF, opened."""
    return PdfReader(BytesIO(pdf))


def page_words(pdf: bytes) -> list[str]:
    """Each page's text on one line, as a reader's search finds it."""
    pages = [page.extract_text() for page in reader_of(pdf).pages]
    return [" ".join(page.split()) for page in pages]


def words_of(pdf: bytes) -> str:
    """The whole text on one line."""
    return " ".join(page_words(pdf))


def qr_texts(png: bytes) -> list[str]:
    """What an independent reader decodes from the QR codes of a page."""
    return [code.text for code in zxingcpp.read_barcodes(Image.open(BytesIO(png)))]


def is_grey(png: bytes) -> bool:
    """True where no pixel of the page has a colour."""
    red, green, blue = np.moveaxis(np.asarray(Image.open(BytesIO(png)).convert("RGB")), 2, 0)
    return bool((red == green).all() and (green == blue).all())


def dark_beyond(png: bytes, width_mm: float, margin_mm: float) -> int:
    """Dark pixels in the left and right margins of a page that is `width_mm` wide."""
    grey = np.asarray(Image.open(BytesIO(png)).convert("L"))
    edge = int(grey.shape[1] * margin_mm / width_mm)
    return int((grey[:, :edge] < 128).sum() + (grey[:, -edge:] < 128).sum())
