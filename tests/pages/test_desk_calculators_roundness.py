"""Roundness at the desk: points pasted or from a file, the circles, the limit, the plot."""

import json
import math
from pathlib import Path
from typing import Any

import httpx
import pytest

from tests.pages.forms_on_page import PART, Visitor, words_of

PLACE = "/calculators/roundness"
SETS = Path(__file__).parents[1] / "published" / "roundness"
OVAL = [
    ((0.425 + 0.001 * math.cos(2 * turn)) * math.cos(turn), (0.425 + 0.001 * math.cos(2 * turn)) * math.sin(turn))
    for turn in (math.radians(degrees) for degrees in range(0, 360, 5))
]
"""A hole of 0.85 mm that is oval by a second harmonic of 1 µm: the radii differ by 2 µm."""


def text_of(points: list[tuple[float, float]] | list[list[float]]) -> str:
    """Points as an instrument writes them."""
    return "\n".join(f"{x!r}, {y!r}" for x, y in points)


def send(visitor: Visitor, file: bytes = b"", part: bool = False, **typed: Any) -> httpx.Response:
    """Evaluate what is typed or sent as a file."""
    fields = {"points": "", "about": "minimum_zone", "shown": ["minimum_zone"], **typed}
    files = {"file": ("points.csv", file, "text/csv")}
    return visitor.client.post(PLACE, data=fields, files=files, headers=PART if part else {})


@pytest.mark.published
@pytest.mark.parametrize("name", ["nist_l2_cir2d10", "nist_l2_cir2d22", "nist_l2_cir2d29"])
def test_the_least_squares_circle_is_the_published_one(technician: Visitor, name: str) -> None:
    # NIST least-squares reference pairs after ASME B89.4.10; source and status in the file. Five decimals are shown.
    given = json.loads((SETS / f"{name}.json").read_text(encoding="utf-8"))
    x, y = given["published"]["center"]
    words = words_of(send(technician, points=text_of(given["points"]), about="least_squares"))
    assert f"Least squares {x:.5f} {y:.5f} {given['published']['diameter'] / 2:.5f}" in words


def test_an_oval_hole_deviates_by_the_difference_of_its_radii(technician: Visitor) -> None:
    answer = send(technician, points=text_of(OVAL), shown=["minimum_zone", "least_squares", "maximum_inscribed"])
    words = words_of(answer)
    assert "Roundness deviation 2 µm (minimum zone)" in words
    for name in ("Minimum zone", "Least squares", "Minimum circumscribed"):
        assert f"{name} 0.00000" in words.replace("-0.00000", "0.00000")
    assert "Maximum inscribed 0.0" in words
    assert " 0.42400 " in words  # the small half-axis, wherever its centre is
    assert "form magnified" in words.split("The plot in words")[1]
    assert "<svg" in answer.text


@pytest.mark.parametrize(
    ("limit", "doubt", "said"),
    [
        ("3", "0,5", "Conforms"),
        ("0.0022 mm", "0.5", "Not proven"),
        ("1", "0.5", "Does not conform"),
    ],
)
def test_a_limit_is_judged_with_the_uncertainty(technician: Visitor, limit: str, doubt: str, said: str) -> None:
    answer = send(technician, points=text_of(OVAL), limit=limit, uncertainty=doubt)
    assert f"{said} It lies" in words_of(answer)
    assert ">limit</text>" in answer.text


def test_a_file_is_used_in_place_of_what_is_typed(technician: Visitor) -> None:
    file = "x;y\n" + "\n".join(f"{x:.9f};{y:.9f}".replace(".", ",") for x, y in OVAL)
    answer = send(technician, file.encode("utf-8-sig"), points="1, 2")
    assert "Roundness deviation 2 µm" in words_of(answer)


def test_points_of_a_refused_file_stand_in_the_box_to_be_mended(technician: Visitor) -> None:
    answer = send(technician, b"1,0\n0,1\nzero,0\n")
    assert answer.status_code == 422
    assert "Line 3 reads “zero”" in words_of(answer)
    assert "1,0\n0,1\nzero,0" in answer.text


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"points": ""}, "points", "The list of points is empty"),
        ({"points": "1,0\n2,0\n3,0"}, "points", "on one straight line"),
        ({"points": "1,0\n2,0"}, "points", "at least three points"),
        ({"points": "1,0\n1,0\n1,0"}, "points", "in one place"),
        ({"points": "1,0\n0,1\n-1,nan"}, "points", "Line 3"),
        ({"points": text_of(OVAL), "limit": "0"}, "limit", "over zero"),
        ({"points": text_of(OVAL), "limit": "3 bar"}, "limit", "does not measure the same thing"),
        ({"points": text_of(OVAL), "limit": "3", "uncertainty": "-1"}, "uncertainty", "zero or a positive"),
        ({"points": text_of(OVAL), "about": "mean"}, "about", "choose one"),
        ({"points": text_of(OVAL[:20]), "about": "maximum_inscribed"}, "about", "leave one side open"),
    ],
)
def test_what_has_no_answer_is_said_beside_its_field_and_stays_typed(
    technician: Visitor, typed: dict[str, str], field: str, said: str
) -> None:
    answer = send(technician, **typed)
    assert answer.status_code == 422
    assert said in answer.text.split(f'id="{field}-error"')[1].split("</p>")[0]
    assert typed["points"] in answer.text
    assert typed.get("limit", "") in answer.text


def test_a_file_that_is_no_text_is_refused_at_the_file(technician: Visitor) -> None:
    answer = send(technician, b"\x89PNG\r\n\x1a\n\xff\xfe")
    assert answer.status_code == 422
    assert "not a text file of points" in answer.text.split('id="file-error"')[1].split("</p>")[0]


def test_the_lobes_are_named_drawn_and_listed(technician: Visitor) -> None:
    words = words_of(send(technician, points=text_of(OVAL)))
    assert "Mostly oval (two-lobed): 2 µm peak to valley" in words
    assert "Lobing spectrum Form Undulations per revolution Amplitude µm Crest at ° Oval (two-lobed) 2 1" in words
    assert "Undulations per revolution</text>" in send(technician, points=text_of(OVAL)).text
    assert "lobed" not in words_of(send(technician, points=text_of(OVAL[:20])))


def test_a_file_in_another_unit_is_refused_by_its_header(technician: Visitor) -> None:
    answer = send(technician, b"x um,y um\n" + text_of(OVAL).encode())
    assert answer.status_code == 422
    assert "The header names um: lengths are read in mm" in words_of(answer)


def test_a_long_trace_of_two_megabytes_is_taken(technician: Visitor) -> None:
    turns = [math.tau * number / 60_000 for number in range(60_000)]
    file = "\n".join(f"{12.5 * math.cos(turn):.9f},{12.5 * math.sin(turn):.9f}" for turn in turns).encode()
    assert len(file) > 1_500_000
    answer = send(technician, file)
    assert answer.status_code == 200
    assert "Profile of 60000 points" in words_of(answer)


def test_the_part_that_is_swapped_is_the_markup_of_the_page(technician: Visitor) -> None:
    page, part = (send(technician, points=text_of(OVAL), limit="3", part=one) for one in (False, True))
    assert part.text.strip() in page.text
    assert "<html" not in part.text


def test_a_ships_office_sends_no_points(office: Visitor) -> None:
    assert send(office, points=text_of(OVAL)).status_code == 403
