"""A hole image at the desk: a photograph with its scale, drawn over and listed; refusals beside their field."""

import re
from io import BytesIO

import httpx
import pytest
from PIL import Image

from service.pages.desk_calculators.hole_image import UPLOAD_LIMIT_BYTES
from tests.pages.forms_on_page import PART, Visitor, words_of
from tests.photographs_taken import HOLE, cut_short, drawing, of_a_hole, of_sixty_megapixels, packed, plain

PLACE = "/calculators/hole-image"
PITCH = {"scale_by": "pitch", "um_per_pixel": "5,7", "expanded_uncertainty": "0.02"}
BAR = {
    "scale_by": "bar",
    "length_um": "1.14 mm",
    "length_uncertainty_um": "1",
    "start_px": "20; 10",
    "end_px": "220 10",
}


def send(visitor: Visitor, picture: bytes, typed: dict[str, str], part: bool = False) -> httpx.Response:
    """Measure the photograph at the scale typed."""
    files = {"picture": ("hole.png", picture, "image/png")}
    return visitor.client.post(PLACE, data=typed, files=files, headers=PART if part else {})


@pytest.mark.parametrize("typed", [PITCH, BAR], ids=["pitch", "bar"])
def test_the_diameter_is_that_of_the_hole_drawn_by_either_scale(technician: Visitor, typed: dict[str, str]) -> None:
    answer = send(technician, of_a_hole(), typed)
    assert answer.status_code == 200
    said = re.search(r"Mean diameter (0\.\d{4}) ± (0\.\d{4}) mm", words_of(answer))
    assert said
    assert float(said[1]) == pytest.approx(HOLE.mean_diameter * 5.7 / 1000, abs=float(said[2]))
    assert 'href="data:image/jpeg;base64,' in answer.text
    assert "<ellipse" in answer.text
    assert " style=" not in answer.text


def test_axes_ovality_both_ways_and_roundness_are_listed_with_their_uncertainty(technician: Visitor) -> None:
    words = words_of(send(technician, of_a_hole(), PITCH))
    row = r" (0\.\d{4}) 0\.\d{4} \d\.\d{2}"
    drawn = {"Largest diameter": HOLE.major, "Smallest diameter": HOLE.minor}
    for name, pixels in drawn.items():
        found = re.search(name + row, words)
        assert found
        assert float(found[1]) == pytest.approx(pixels * 5.7 / 1000, abs=0.003)
    for name in ("Ovality, largest less smallest", "Ovality, second harmonic"):
        found = re.search(name + row, words)
        assert found
        assert float(found[1]) == pytest.approx(HOLE.ovality * 5.7 / 1000, abs=0.003)
    assert re.search("Roundness, filtered at 15 upr" + row, words)
    assert "Not as it should be" not in words


def test_what_is_not_nominal_is_said_in_words(technician: Visitor) -> None:
    with Image.open(BytesIO(of_a_hole())) as taken:
        small = packed(taken.resize((110, 95)))
    words = words_of(send(technician, small, PITCH | {"um_per_pixel": "15.5"}))
    assert "Not as it should be" in words
    assert "The uncertainty is larger for it." in words


@pytest.mark.parametrize(
    ("picture", "typed", "field", "said"),
    [
        (b"", PITCH, "picture", "No photograph was chosen"),
        (plain(), PITCH, "picture", "No hole is seen in the picture"),
        (drawing(), PITCH, "picture", "no JPEG or PNG"),
        (cut_short(), PITCH, "picture", "damaged or cut short"),
        (of_a_hole(), PITCH | {"um_per_pixel": "0"}, "um_per_pixel", "has no meaning"),
        (of_a_hole(), PITCH | {"expanded_uncertainty": ""}, "expanded_uncertainty", "is empty"),
        (of_a_hole(), PITCH | {"scale_by": ""}, "scale_by", "Say how the scale is known"),
        (of_a_hole(), BAR | {"length_um": "0"}, "length_um", "has no meaning"),
        (of_a_hole(), BAR | {"start_px": "20"}, "start_px", "Give x and y"),
        (of_a_hole(), BAR | {"end_px": "30; 10"}, "end_px", "mark a bar of at least"),
    ],
)
def test_what_has_no_answer_is_said_beside_its_field_and_stays_typed(
    technician: Visitor, picture: bytes, typed: dict[str, str], field: str, said: str
) -> None:
    answer = send(technician, picture, typed)
    assert answer.status_code == 422
    assert said in answer.text.split(f'id="{field}-error"')[1].split("</p>")[0]
    assert all(f'value="{text}"' in answer.text for text in typed.values() if text)
    assert "data-answer" not in answer.text


def test_a_picture_of_sixty_million_pixels_is_refused_before_it_is_unpacked(technician: Visitor) -> None:
    answer = send(technician, of_sixty_megapixels(), PITCH)
    assert answer.status_code == 422
    assert "60 million pixels" in answer.text.split('id="picture-error"')[1].split("</p>")[0]


def test_a_file_larger_than_a_photograph_may_be_is_not_read(technician: Visitor) -> None:
    assert send(technician, b"\xff" * (UPLOAD_LIMIT_BYTES + 1), PITCH).status_code == 413


def test_the_part_that_is_swapped_is_the_markup_of_the_page(technician: Visitor) -> None:
    page, part = (send(technician, of_a_hole(), PITCH, one) for one in (False, True))
    assert part.text.strip() in page.text
    assert "<html" not in part.text
    assert page.headers["vary"] == part.headers["vary"] == "HX-Request, HX-Request-Type"


def test_a_ships_office_sends_no_photograph(office: Visitor) -> None:
    assert send(office, of_a_hole(), PITCH).status_code == 403
