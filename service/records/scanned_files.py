"""What a scanned certificate may be: told from its own bytes, never from a name or from what the sender says."""

import re

_PNG = b"\x89PNG\r\n\x1a\n"
_TAIL = 2048

ENDINGS = {"application/pdf": "pdf", "image/png": "png", "image/jpeg": "jpg"}
"""The media types that are kept, each with the ending of its file name."""


def media_type_of(content: bytes) -> str | None:
    """PDF, PNG or JPEG by beginning and end (ISO 32000-1, 7.5; PNG, clause 5; JPEG, ISO/IEC 10918-1, Annex B).

    None for anything else and for a file that was cut off.
    """
    tail = content[-_TAIL:]
    if content.startswith(b"%PDF-") and b"%%EOF" in tail:
        return "application/pdf"
    if content.startswith(_PNG) and content[12:16] == b"IHDR" and b"IEND\xaeB`\x82" in tail:
        return "image/png"
    if content.startswith(b"\xff\xd8\xff") and b"\xff\xd9" in tail:
        return "image/jpeg"
    return None


def headers_of_file(name: str, media_type: str) -> dict[str, str]:
    """For a file from outside: it is saved, never shown inside our pages, and whatever opens it runs nothing of it."""
    plain_name = re.sub(r"[^A-Za-z0-9._-]+", "-", name)
    return {
        "Content-Disposition": f'attachment; filename="{plain_name}.{ENDINGS[media_type]}"',
        "Content-Security-Policy": "sandbox",
    }
