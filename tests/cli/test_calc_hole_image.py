"""`spindlebook calc hole-image`: a hole drawn at a known size, measured from its file."""

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from service.cli.main import app
from tests.photographs_taken import HOLE, of_a_hole, plain

TRUE_PX = HOLE.mean_diameter


def ask(*words: str) -> Result:
    return CliRunner().invoke(app, ["calc", "hole-image", *words])


@pytest.fixture
def file(tmp_path: Path) -> str:
    """The drawn hole as a file."""
    place = tmp_path / "hole.png"
    place.write_bytes(of_a_hole())
    return str(place)


def test_the_diameter_is_that_of_the_hole_drawn(file: str) -> None:
    done = ask(file, "--um-per-pixel", "4", "--expanded-uncertainty", "0.02", "--json")
    assert done.exit_code == 0, done.output
    found = json.loads(done.stdout)
    assert found["mean_diameter"]["value_px"] == pytest.approx(TRUE_PX, abs=0.2)
    assert found["mean_diameter"]["value_mm"] == pytest.approx(TRUE_PX * 4 / 1000, abs=0.2 * 4 / 1000)
    assert found["mean_diameter"]["expanded_mm"] > 0
    assert {"ovality", "roundness", "major", "minor", "angle_deg"} <= found.keys()


def test_a_scale_bar_gives_the_same_as_the_pitch_that_it_stands_for(file: str) -> None:
    by_pitch = json.loads(ask(file, "--um-per-pixel", "4", "--json").stdout)
    by_bar = json.loads(ask(file, "--bar", "800", "--start", "10,10", "--end", "210,10", "--json").stdout)
    assert by_bar["mean_diameter"]["value_mm"] == pytest.approx(by_pitch["mean_diameter"]["value_mm"])
    assert by_bar["mean_diameter"]["expanded_mm"] > by_pitch["mean_diameter"]["expanded_mm"], (
        "the ends are marked by eye"
    )


def test_people_get_a_table(file: str) -> None:
    shown = ask(file, "--um-per-pixel", "4").stdout
    assert "mean diameter" in shown
    assert "roundness" in shown


def test_bad_input_ends_with_status_two_and_one_sentence(tmp_path: Path, file: str) -> None:
    (tmp_path / "text.png").write_text("no picture")
    (tmp_path / "grey.jpg").write_bytes(plain())
    cases = [
        (file,),
        (file, "--um-per-pixel", "0"),
        (file, "--um-per-pixel", "x"),
        (file, "--um-per-pixel", "4", "--bar", "5"),
        (file, "--bar", "800", "--start", "10", "--end", "210,10"),
        (str(tmp_path / "text.png"), "--um-per-pixel", "4"),
        (str(tmp_path / "grey.jpg"), "--um-per-pixel", "4"),
        (str(tmp_path / "none.png"), "--um-per-pixel", "4"),
    ]
    for case in cases:
        done = ask(*case)
        assert done.exit_code == 2, case
        assert done.stderr.count("\n") == 1, done.stderr
