"""Photographs as a camera hands them over: plain ones, one of a hole of known size, and files that only claim to be."""

from functools import cache
from io import BytesIO
from typing import Any

import numpy as np
from PIL import Image, ImageFile, PngImagePlugin

from seed_demo.rendered_hole import Hole, Photograph, photograph

HOLE = Hole(150.3, 129.6, 153, 147, 30)
"""Its diameter is 150 pixels: at 5.7 µm a pixel it is 0.855 mm wide."""
MAKE, GPS, LATITUDE = 0x010F, 0x8825, 2


def packed(picture: Image.Image, kind: str = "PNG", **options: Any) -> bytes:
    """The picture as a file."""
    content = BytesIO()
    picture.save(content, kind, **options)
    return content.getvalue()


def plain(shade: int = 120, size: tuple[int, int] = (640, 480), kind: str = "JPEG") -> bytes:
    """A grey picture; each shade is another photograph."""
    return packed(Image.new("RGB", size, (shade, shade, shade)), kind)


@cache
def of_a_hole(kind: str = "PNG") -> bytes:
    """The hole drawn, coded as sRGB (IEC 61966-2-1)."""
    light = photograph(HOLE, Photograph(300, 260, ground=0.6, hole=0.1, blur=2.0, noise=0.005, bits=16))
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 1e-9) ** (1 / 2.4) - 0.055)
    return packed(Image.fromarray(np.round(255 * coded).astype(np.uint8)), kind)


@cache
def of_sixty_megapixels() -> bytes:
    """A picture that is small as a file and enormous once unpacked."""
    return packed(Image.new("1", (10_000, 6_000)))


def with_camera_data() -> bytes:
    """A photograph that says where it was taken, with what, and a remark."""
    exif = Image.Exif()
    exif[MAKE] = "Invented Camera"
    exif[GPS] = {1: "N", LATITUDE: (1.0, 2.0, 3.0)}
    return packed(Image.new("RGB", (200, 100), "grey"), "JPEG", exif=exif, comment=b"left in the drawer")


def with_camera_data_png() -> bytes:
    """The same as PNG, with a text chunk and what a colour profile would hold."""
    notes = PngImagePlugin.PngInfo()
    notes.add_text("Comment", "left in the drawer")
    return packed(Image.new("RGB", (200, 100), "grey"), "PNG", pnginfo=notes, icc_profile=b"Invented profile")


HIDDEN = b"<script>alert(1)</script>PK\x03\x04"
"""What a picture may carry behind its end for another program to find."""


def polyglot() -> bytes:
    """A photograph with a page and an archive behind it."""
    return plain(77) + HIDDEN


def cut_short() -> bytes:
    """A JPEG that broke off on the way."""
    return packed(Image.effect_noise((600, 500), 60).convert("RGB"), "JPEG")[:20_000]


def drawing() -> bytes:
    """A vector drawing that runs a script."""
    return b"<?xml version='1.0'?><svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>"


assert ImageFile.LOAD_TRUNCATED_IMAGES is False, "half a picture would be taken for a whole one"
