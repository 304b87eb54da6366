"""An uploaded photograph, read safely: what is no JPEG or PNG, or too large to unpack, is refused; nothing is kept.

Pillow loads on first use. Photographs are turned upright by their EXIF orientation, so that what is measured, what
is shown and what is drawn over it agree.
"""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any

from service.metrology.errors import DomainError

if TYPE_CHECKING:
    from PIL.Image import Image

LARGEST_BYTES = 30_000_000
LARGEST_PIXELS = 50_000_000
LONGEST_SHOWN_PX = 1600
_QUALITY_KEPT = 95
_KINDS = ("JPEG", "PNG")
_DEEP = ("I", "I;16", "I;16L", "I;16B", "I;16N")


class PictureRefused(DomainError):
    """A file that is no photograph to be measured; nothing of it is kept."""


@dataclass(frozen=True, slots=True)
class ShownPicture:
    """A picture to be shown, upright and without what the camera wrote into it (place, owner).

    `width` and `height` are those of the upright original in pixels, in which edges are given, whatever size is shown.
    """

    content: bytes
    media_type: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class KeptPicture:
    """A photograph packed anew to be kept: upright, the picture alone. Width and height in pixels."""

    content: bytes
    media_type: str
    width: int
    height: int


def kept_picture(content: bytes, field: str = "picture") -> KeptPicture:
    """The photograph as it is kept: every pixel, and nothing else that the file held.

    What the camera wrote beside it (place, time, owner, remarks) is gone, and so is whatever hid before, between or
    behind the pixels. A PNG loses nothing; a JPEG is packed again nearly without loss, its colours unthinned.

    Raises PictureRefused as `picture_light` does.
    """
    with _upright(content, field) as picture:
        kind = "PNG" if content.startswith(b"\x89PNG") else "JPEG"
        as_it_is = ("L", "RGB", *_DEEP) if kind == "PNG" else ("L", "RGB")
        plain = picture if picture.mode in as_it_is else _in_colour(picture)
        plain.info.clear()
        packed = BytesIO()
        if kind == "PNG":
            plain.save(packed, format=kind, compress_level=4)
        else:
            plain.save(packed, format=kind, quality=_QUALITY_KEPT, subsampling=0)
        return KeptPicture(packed.getvalue(), f"image/{kind.lower()}", plain.width, plain.height)


def picture_light(content: bytes, field: str = "picture") -> Any:
    """The linear light of a photograph, upright: a NumPy array of floats 0 to 1, shape (rows, columns).

    JPEG and PNG are taken, grey or in colour, of 8 or 16 bits; what is transparent counts as white.

    Raises PictureRefused with code `picture-missing`, `picture-file-too-large`, `picture-unreadable`,
    `picture-too-large` (by its header, before it is unpacked) or `picture-damaged`.
    """
    import numpy as np

    from service.metrology.hole_image.light import linear_light

    with _upright(content, field) as picture:
        if picture.mode in _DEEP:
            return linear_light(np.asarray(picture).astype(np.uint16))
        return linear_light(np.asarray(picture if picture.mode == "L" else _in_colour(picture)))


def shown_picture(content: bytes, field: str = "picture", longest_px: int = LONGEST_SHOWN_PX) -> ShownPicture:
    """The photograph for a page: upright, at most `longest_px` on its longer side, as JPEG without metadata.

    Raises PictureRefused as `picture_light` does.
    """
    with _upright(content, field) as picture:
        width, height = picture.size
        if picture.mode in _DEEP:
            picture = picture.point(lambda value: value / 256).convert("L")
        shown = picture if picture.mode == "L" else _in_colour(picture)
        shown.thumbnail((longest_px, longest_px))
        shown.info.clear()
        packed = BytesIO()
        shown.save(packed, format="JPEG", quality=88)
    return ShownPicture(packed.getvalue(), "image/jpeg", width, height)


@contextmanager
def _upright(content: bytes, field: str) -> "Iterator[Image]":
    """The unpacked picture, turned as it was taken; every fault of the file becomes a refusal."""
    from PIL import Image, ImageOps

    if not content:
        raise PictureRefused("picture-missing", "No photograph was chosen: choose a JPEG or PNG file.", field)
    if len(content) > LARGEST_BYTES:
        raise PictureRefused(
            "picture-file-too-large",
            f"The file has {len(content) // 1_000_000} MB, and at most {LARGEST_BYTES // 1_000_000} MB are taken: "
            "crop the photograph to the hole.",
            field,
        )
    try:
        with Image.open(BytesIO(content), formats=_KINDS) as checked:
            _refuse_too_many(checked.width * checked.height, field)
            checked.verify()  # the sums of a PNG; the picture must be opened again after it
    except Image.DecompressionBombError:
        raise _too_many(None, field) from None
    except PictureRefused:
        raise
    except Exception as fault:  # readers of broken files fail in many ways, and each is the file's fault
        raise PictureRefused(
            "picture-unreadable", "The file is no JPEG or PNG picture: choose a photograph of the hole.", field
        ) from fault
    try:
        with Image.open(BytesIO(content), formats=_KINDS) as packed:
            packed.load()
            upright = ImageOps.exif_transpose(packed)
    except Exception as fault:
        raise PictureRefused(
            "picture-damaged", "The picture is damaged or cut short: copy it from the camera again.", field
        ) from fault
    with upright:
        yield upright


def _refuse_too_many(pixels: int, field: str) -> None:
    if pixels > LARGEST_PIXELS:
        raise _too_many(pixels, field)


def _too_many(pixels: int | None, field: str) -> PictureRefused:
    has = f"{pixels // 1_000_000} million pixels" if pixels else "hundreds of millions of pixels"
    return PictureRefused(
        "picture-too-large",
        f"The picture has {has}, and at most {LARGEST_PIXELS // 1_000_000} million are taken: "
        "crop it to the hole or take it at a smaller size.",
        field,
    )


def _in_colour(picture: "Image") -> "Image":
    """The picture in red, green and blue of 8 bits, on white where it is transparent."""
    if picture.mode in ("RGBA", "LA", "PA", "P"):
        from PIL import Image

        drawn = picture.convert("RGBA")
        ground = Image.new("RGBA", drawn.size, "white")
        ground.alpha_composite(drawn)
        return ground.convert("RGB")
    return picture.convert("RGB")
