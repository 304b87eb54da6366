"""A hole in a photograph over the API: the same answer as on the command line, refusals by their field."""

import json
from pathlib import Path

import httpx
import pytest
from typer.testing import CliRunner

from service.cli.calc import calc
from service.pages.desk_calculators.hole_image import UPLOAD_LIMIT_BYTES
from tests.api.callers import Person
from tests.photographs_taken import HOLE, of_a_hole, of_sixty_megapixels, plain

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])
PITCH = {"um_per_pixel": "5,7", "expanded_uncertainty": "0.02"}
BAR = {"length_um": "1.14 mm", "length_uncertainty_um": "1", "start_px": "20;10", "end_px": "220; 10"}


def send(person: Person, content: bytes, asked: dict[str, str]) -> httpx.Response:
    headers = {**person.headers, "Content-Type": "image/png"}
    return person.client.post("/api/v1/calculations/hole-image", headers=headers, params=asked, content=content)


@pytest.mark.parametrize(
    ("asked", "options"),
    [
        (PITCH, ("--um-per-pixel", "5.7", "--expanded-uncertainty", "0.02")),
        (BAR, ("--bar", "1140", "--bar-uncertainty", "1", "--start", "20,10", "--end", "220,10")),
    ],
    ids=["pitch", "bar"],
)
def test_a_hole_is_measured_as_on_the_command_line(
    technician: Person, tmp_path: Path, asked: dict[str, str], options: tuple[str, ...]
) -> None:
    file = tmp_path / "hole.png"
    file.write_bytes(of_a_hole())
    printed = json.loads(CliRunner().invoke(calc, ["hole-image", str(file), "--json", *options]).stdout)
    answer = send(technician, of_a_hole(), asked)
    assert answer.status_code == 200, answer.text
    found = answer.json()
    assert found["mean_diameter"]["value_um"] == pytest.approx(HOLE.mean_diameter * 5.7, abs=2)
    for name in ("mean_diameter", "major", "minor", "ovality", "ovality_by_harmonic", "roundness"):
        assert found[name]["value_um"] / 1000 == printed[name]["value_mm"]
        assert found[name]["expanded_um"] / 1000 == printed[name]["expanded_mm"]
        assert found[name]["k"] == printed[name]["k"]
    assert found["quality"]["not_nominal"] == printed["not_nominal"]


@pytest.mark.parametrize(
    ("content", "asked", "field"),
    [
        (b"", PITCH, "picture"),
        (b"no picture", PITCH, "picture"),
        (plain(), PITCH, "picture"),
        (of_a_hole(), {}, "um_per_pixel"),
        (of_a_hole(), PITCH | BAR, "um_per_pixel"),
        (of_a_hole(), PITCH | {"um_per_pixel": "0"}, "um_per_pixel"),
        (of_a_hole(), PITCH | {"um_per_pixel": "5" * 90}, "um_per_pixel"),
        (of_a_hole(), {"um_per_pixel": "5.7"}, "expanded_uncertainty"),
        (of_a_hole(), BAR | {"length_um": "0"}, "length_um"),
        (of_a_hole(), BAR | {"start_px": "20"}, "start_px"),
        (of_a_hole(), BAR | {"end_px": "30;10"}, "end_px"),
        (of_a_hole(), PITCH | {"colour": "red"}, "colour"),
    ],
)
def test_what_has_no_answer_is_refused_by_its_field(
    technician: Person, content: bytes, asked: dict[str, str], field: str
) -> None:
    answer = send(technician, content, asked)
    assert (answer.status_code, answer.json()["field"]) == (422, field)


def test_too_many_pixels_are_refused_by_the_field_and_too_many_bytes_unread(technician: Person) -> None:
    answer = send(technician, of_sixty_megapixels(), PITCH)
    assert (answer.status_code, answer.json()["field"]) == (422, "picture")
    assert send(technician, b"\xff" * (UPLOAD_LIMIT_BYTES + 1), PITCH).status_code == 413


def test_a_ships_office_sends_no_photograph(office: Person) -> None:
    assert send(office, of_a_hole(), PITCH).status_code == 403
