"""The workshop's paper: size of the page, and the logo at its head."""

import struct
from base64 import b64encode
from dataclasses import dataclass
from enum import StrEnum
from pathlib import Path

from service.metrology.errors import DomainError

LOGO_BYTES = 500_000
"""Every certificate carries the logo: a larger one is refused."""


class Paper(StrEnum):
    """Sizes of paper, by the names that ISO 216 and ANSI/ASME Y14.1 (letter) go by."""

    A4 = "a4"
    LETTER = "us-letter"


class LogoRefused(DomainError):
    """A logo that cannot be set."""


@dataclass(frozen=True)
class Letterhead:
    """Paper and logo; without a logo the workshop's name stands alone."""

    paper: Paper = Paper.A4
    logo: bytes = b""

    @property
    def logo_svg(self) -> str:
        """The logo as a drawing, "" without one: the typesetter takes text, so a picture is wrapped in one."""
        if not self.logo.startswith(_PNG):
            return self.logo.decode()
        width, height = struct.unpack(">II", self.logo[16:24])
        size, packed = f'width="{width}" height="{height}"', b64encode(self.logo).decode()
        picture = f'<image {size} href="data:image/png;base64,{packed}"/>'
        return f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}">{picture}</svg>'


_PNG = b"\x89PNG\r\n\x1a\n"


def _is_drawing(content: bytes) -> bool:
    try:
        return "<svg" in content.decode()[:2000]
    except UnicodeDecodeError:
        return False


def read_letterhead(paper: Paper, logo: Path | None) -> Letterhead:
    """The paper with the logo out of its file, PNG or SVG. Raises LogoRefused: unreadable, another kind, too large."""
    if logo is None:
        return Letterhead(paper)
    try:
        content = logo.read_bytes()
    except OSError as error:
        raise LogoRefused("logo", f"The logo cannot be read: {logo} ({error.strerror}).") from error
    if len(content) > LOGO_BYTES:
        raise LogoRefused("logo", f"The logo {logo} is over {LOGO_BYTES // 1000} kB: give a smaller one.")
    if not content.startswith(_PNG) and not _is_drawing(content):
        raise LogoRefused("logo", f"The logo {logo} is neither PNG nor SVG.")
    return Letterhead(paper, content)
