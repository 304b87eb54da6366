"""Uploads that are photographs, and uploads that are not: read into light, or refused with a code and a sentence."""

import struct
import zlib
from io import BytesIO
from typing import Any

import numpy as np
import pytest
from PIL import Image

from seed_demo.rendered_hole import Hole, Photograph, photograph
from service.metrology.hole_image.evaluation import evaluate_hole
from service.metrology.hole_image.scale import Scale
from service.records import picture_file
from service.records.picture_file import PictureRefused, picture_light, shown_picture

ORIENTATION = 0x0112


def packed(picture: Any, kind: str = "PNG", orientation: int | None = None, **options: Any) -> bytes:
    content = BytesIO()
    if orientation:
        exif = Image.Exif()
        exif[ORIENTATION] = orientation
        options["exif"] = exif
    picture.save(content, kind, **options)
    return content.getvalue()


def grey(value: int = 128, size: tuple[int, int] = (80, 60)) -> Any:
    return Image.new("L", size, value)


def header_only(width: int, height: int) -> bytes:
    """A PNG that says its size and holds next to nothing: unpacked it would fill the memory."""

    def chunk(kind: bytes, content: bytes) -> bytes:
        return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(b"\0" * 100)) + chunk(b"IEND", b"")


REFUSED = {
    "nothing": (b"", "picture-missing"),
    "a text": (b"This is no picture." * 50, "picture-unreadable"),
    "a document": (b"%PDF-1.7\n" + b"0" * 500, "picture-unreadable"),
    "a drawing": (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "picture-unreadable"),
    "a picture of another kind": (packed(grey(), "GIF"), "picture-unreadable"),
    "sixty million pixels": (header_only(10_000, 6_000), "picture-too-large"),
    "ten thousand million pixels": (header_only(100_000, 100_000), "picture-too-large"),
    "a JPEG cut short": (
        packed(Image.effect_noise((400, 300), 60), "JPEG")[:6000],
        "picture-damaged",
    ),
    "a PNG with a wrong sum": (packed(grey())[:-20] + b"\0" * 20, "picture-unreadable"),
    "thirty-one megabytes": (b"\xff\xd8\xff" + b"0" * 31_000_000, "picture-file-too-large"),
}


@pytest.mark.parametrize("read", [picture_light, shown_picture])
@pytest.mark.parametrize("name", REFUSED)
def test_a_file_that_is_no_photograph_to_measure_is_refused_in_words(name: str, read: Any) -> None:
    content, code = REFUSED[name]
    with pytest.raises(PictureRefused) as refusal:
        read(content, "photo")
    assert (refusal.value.code, refusal.value.field) == (code, "photo")
    assert refusal.value.sentence.endswith(".")


def test_a_picture_too_large_is_refused_before_it_is_unpacked(monkeypatch: pytest.MonkeyPatch) -> None:
    def unpack(*_: Any) -> None:
        pytest.fail("the picture was unpacked")

    monkeypatch.setattr(Image.Image, "load", unpack)
    monkeypatch.setattr("PIL.ImageFile.ImageFile.load", unpack)
    with pytest.raises(PictureRefused, match="60 million pixels"):
        picture_light(header_only(10_000, 6_000))


@pytest.mark.published
@pytest.mark.parametrize(
    ("coded", "light"), [(0, 0.0), (10, 0.0030353), (128, 0.2158605), (188, 0.5028865), (255, 1.0)]
)
def test_coded_values_become_light_by_the_srgb_curve(coded: int, light: float) -> None:
    """Source: IEC 61966-2-1, the formula worked by hand for these values (linear below 0.04045, else power 2.4)."""
    x = coded / 255
    by_hand = x / 12.92 if x <= 0.04045 else ((x + 0.055) / 1.055) ** 2.4
    assert by_hand == pytest.approx(light, abs=1e-6)
    assert picture_light(packed(grey(coded))) == pytest.approx(np.full((60, 80), light), abs=1e-6)


@pytest.mark.parametrize(
    "picture",
    [
        grey(200).convert("RGB"),
        grey(200).convert("RGBA"),
        grey(200).convert("LA"),
        grey(200).convert("P"),
        Image.fromarray(np.full((60, 80), 200 * 257, dtype=np.uint16)),
    ],
    ids=["colour", "colour with transparency", "grey with transparency", "palette", "16 bits"],
)
def test_grey_is_the_same_light_however_it_is_packed(picture: Any) -> None:
    assert picture_light(packed(picture)) == pytest.approx(picture_light(packed(grey(200))), abs=2e-4)
    shown = np.asarray(Image.open(BytesIO(shown_picture(packed(picture)).content)).convert("L"))
    assert abs(int(shown[30, 40]) - 200) <= 2


def test_what_is_transparent_counts_as_white() -> None:
    assert picture_light(packed(Image.new("RGBA", (80, 60), (0, 0, 0, 0)))).min() == 1


@pytest.mark.parametrize(
    ("orientation", "corner"), [(1, (0, 0)), (3, (59, 79)), (6, (0, 59)), (8, (79, 0)), (2, (0, 79))]
)
def test_a_photograph_is_turned_as_the_camera_was_held(orientation: int, corner: tuple[int, int]) -> None:
    """The place of the stored picture's first pixel for each orientation (EXIF 2.3, tag 274)."""
    picture = grey(0)
    picture.putpixel((0, 0), 255)
    content = packed(picture, orientation=orientation)
    light = picture_light(content)
    assert np.unravel_index(int(light.argmax()), light.shape) == corner
    shown = shown_picture(content)
    assert (shown.height, shown.width) == light.shape


def test_the_picture_shown_is_small_and_tells_nothing_of_the_camera() -> None:
    shown = shown_picture(packed(grey(90, (4000, 3000)), "JPEG", orientation=6))
    with Image.open(BytesIO(shown.content)) as picture:
        assert (picture.format, picture.size, dict(picture.getexif())) == ("JPEG", (1200, 1600), {})
    assert (shown.media_type, shown.width, shown.height) == ("image/jpeg", 3000, 4000)


@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
def test_a_hole_measures_the_same_out_of_a_file_as_it_was_drawn(kind: str) -> None:
    hole = Hole(150.3, 129.6, 153, 147, 30)
    light = photograph(hole, Photograph(300, 260, ground=0.6, hole=0.1, blur=2.0, noise=0.005, bits=16))
    coded = np.where(light <= 0.0031308, 12.92 * light, 1.055 * np.maximum(light, 1e-9) ** (1 / 2.4) - 0.055)
    picture = Image.fromarray(np.round(255 * coded).astype(np.uint8))
    options = {"quality": 92} if kind == "JPEG" else {}
    found = evaluate_hole(picture_light(packed(picture, kind, **options)), Scale(1.0, 0.0))
    assert found.mean_diameter.value_px == pytest.approx(hole.mean_diameter, abs=0.2)
    assert found.ovality.value_px == pytest.approx(hole.ovality, abs=0.3)


def test_the_limit_on_pixels_is_below_sixty_million() -> None:
    assert picture_file.LARGEST_PIXELS < 60_000_000
