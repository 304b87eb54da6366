"""`spindlebook calc roundness`: the keys of the contract, the numbers, and one sentence for bad input."""

import json
import math
from pathlib import Path

import pytest
from typer.testing import CliRunner

from service.cli.calc import calc

CIRCLE = ["x_mm", "y_mm", "radius_mm", "deviation_mm"]
OVAL = "x;y\n1,1;0\n0;0,9\n-1,1;0\n0;-0,9\n"


def _file(folder: Path, text: str) -> str:
    path = folder / "points.csv"
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_json_has_the_keys_of_the_contract_and_the_deviation_in_mm(tmp_path: Path) -> None:
    result = CliRunner().invoke(calc, ["roundness", _file(tmp_path, OVAL), "--json"])
    assert (result.exit_code, result.stderr) == (0, "")
    found = json.loads(result.stdout)
    assert list(found) == ["least_squares", "minimum_zone", "minimum_circumscribed", "maximum_inscribed"]
    assert list(found["minimum_zone"]) == [*CIRCLE, "inner_mm", "outer_mm"]
    assert all(list(found[name]) == CIRCLE for name in found if name != "minimum_zone")
    zone = found["minimum_zone"]
    assert (zone["deviation_mm"], zone["inner_mm"], zone["outer_mm"]) == pytest.approx((0.2, 0.9, 1.1))
    assert found["least_squares"]["radius_mm"] == pytest.approx(1)
    assert found["minimum_circumscribed"]["radius_mm"] == pytest.approx(1.1)
    # Two ends of the short axis and one of the long: 0.9² + t² = (1.1 − t)².
    assert found["maximum_inscribed"]["radius_mm"] == pytest.approx(1.1 - 0.4 / 2.2)


def test_a_table_names_each_circle_for_people(tmp_path: Path) -> None:
    result = CliRunner().invoke(calc, ["roundness", _file(tmp_path, OVAL.replace(",", ".").replace(";", ","))])
    assert result.exit_code == 0
    for number in ("0.200000", "0.900000", "1.100000", "0.918182"):
        assert number in result.stdout


def test_the_lobes_are_told_when_they_are_asked_for(tmp_path: Path) -> None:
    turns = [math.tau * step / 36 for step in range(36)]
    radii = [4 + 0.002 * math.cos(3 * turn) for turn in turns]
    file = _file(tmp_path, "\n".join(f"{r * math.cos(t)},{r * math.sin(t)}" for r, t in zip(radii, turns, strict=True)))
    found = json.loads(CliRunner().invoke(calc, ["roundness", file, "--lobes", "--json"]).stdout)
    three = found["lobing"]["lobes"][2]
    assert three["undulations_per_revolution"] == 3
    assert three["amplitude_mm"] == pytest.approx(0.002, rel=1e-3)
    assert "0.002000" in CliRunner().invoke(calc, ["roundness", file, "--lobes"]).stdout
    flat = CliRunner().invoke(calc, ["roundness", _file(tmp_path, OVAL), "--lobes"])
    assert "No lobing spectrum" in flat.stdout


def test_an_arc_has_no_inscribed_circle_in_either_answer(tmp_path: Path) -> None:
    arc = _file(tmp_path, "10,0\n8.66,5\n5,8.66\n0,10\n")
    assert json.loads(CliRunner().invoke(calc, ["roundness", arc, "--json"]).stdout)["maximum_inscribed"] is None
    assert "No inscribed circle" in CliRunner().invoke(calc, ["roundness", arc]).stdout


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "empty"),
        ("1,2\n3,4\n", "at least three points"),
        ("0,0\n1,1\n2,2\n", "one straight line"),
        ("0,0\n1,1\n2,two\n", "Line 3 reads"),
        ("1,1\n1,1\n1,1\n", "one place"),
    ],
)
def test_bad_points_end_with_status_2_and_one_sentence(tmp_path: Path, text: str, sentence: str) -> None:
    result = CliRunner().invoke(calc, ["roundness", _file(tmp_path, text), "--json"])
    assert (result.exit_code, result.stdout) == (2, "")
    assert sentence in result.stderr
    assert result.stderr.count("\n") == 1


def test_a_file_that_is_missing_a_folder_or_no_text_ends_with_one_sentence(tmp_path: Path) -> None:
    picture = tmp_path / "picture.png"
    picture.write_bytes(b"\x89PNG\r\n\x1a\n\xff\xfe")
    for path in (tmp_path / "none.csv", tmp_path, picture):
        result = CliRunner().invoke(calc, ["roundness", str(path)])
        assert (result.exit_code, result.stderr.count("\n")) == (2, 1)
