"""Typst at work: a template beside this file, its data as JSON, and the same bytes for the same data."""

import json
from collections.abc import Mapping
from datetime import datetime
from functools import cache
from pathlib import Path
from typing import Any

_TEMPLATES = Path(__file__).parent / "typst"
STANDARDS = ["a-3a", "ua-1"]
"""PDF/A-3a (ISO 19005-3) and PDF/UA-1 (ISO 14289-1); Typst refuses what either forbids."""


def set_pdf(template: str, data: Mapping[str, Any], at: datetime, attached: Mapping[str, Any] | None = None) -> bytes:
    """One tagged PDF, dated `at`. Text in `data` is never read as markup. Raises ValueError: `at` has no zone."""
    if at.tzinfo is None:
        raise ValueError("A document's date needs a time zone.")
    made = _typst().compile(
        _files(template, data, attached),
        format="pdf",
        font_paths=_fonts(),
        ignore_system_fonts=True,
        pdf_standards=STANDARDS,
        timestamp=int(at.timestamp()),
    )
    return bytes(made)


def set_png(template: str, data: Mapping[str, Any], ppi: float = 144) -> list[bytes]:
    """The same pages as pictures, to look at."""
    made = _typst().compile(
        _files(template, data, {}), format="png", font_paths=_fonts(), ignore_system_fonts=True, ppi=ppi
    )
    return [made] if isinstance(made, bytes) else list(made)


def _files(template: str, data: Mapping[str, Any], attached: Mapping[str, Any] | None) -> dict[str, bytes]:
    files = {
        "main.typ": (_TEMPLATES / f"{template}.typ").read_bytes(),
        "page_parts.typ": (_TEMPLATES / "page_parts.typ").read_bytes(),
        "data.json": json.dumps(data).encode("ascii"),
    }
    if attached is not None:
        files["certificate.json"] = json.dumps(attached, indent=1).encode("ascii")
    return files


@cache
def _fonts() -> Any:
    """The fonts inside the wheel and no others: every machine sets the same page."""
    return _typst().Fonts(include_system_fonts=False)


def _typst() -> Any:
    import typst  # loads on first use

    return typst
