"""`spindlebook calc trace`: the keys of the contract, the numbers, and one sentence for bad input."""

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from service.cli.calc import calc
from tests.hydraulics.invented_traces import Bench, as_csv, strokes


@pytest.fixture(scope="module")
def file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Openings at 300, 302, 298 and 301 bar; a hold that falls by 40 bar/min; noise of 0.5 %."""
    path = tmp_path_factory.mktemp("traces") / "trace.csv"
    path.write_bytes(as_csv(*strokes(Bench(seed=8, uneven=0.5)).made(0.005)))
    return path


def asked(file: Path, *options: str) -> dict[str, Any]:
    result = CliRunner().invoke(calc, ["trace", str(file), "--json", *options])
    assert (result.exit_code, result.stderr) == (0, "")
    found: dict[str, Any] = json.loads(result.stdout)
    return found


def test_json_has_the_keys_of_the_contract(file: Path) -> None:
    found = asked(file)
    assert set(found) >= {"openings", "opening_mean_bar", "opening_spread_bar", "holds"}
    assert all(set(one) >= {"t_s", "opening_bar", "closing_bar"} for one in found["openings"])
    assert all(set(one) >= {"start_s", "end_s", "rate_bar_per_min", "interval"} for one in found["holds"])
    assert [one["opening_bar"] for one in found["openings"]] == pytest.approx([300, 302, 298, 301], rel=0.005)
    assert (found["opening_mean_bar"], found["opening_spread_bar"]) == pytest.approx((300.25, 4), abs=1)
    (hold,) = found["holds"]
    assert hold["rate_bar_per_min"] == pytest.approx(40, rel=0.02)
    assert hold["interval"][0] < 40 < hold["interval"][1]
    assert {"what": "Decimal sign", "recognised": "comma"} in found["recognised"]


def test_the_rig_gives_the_leak_and_the_plan_the_verdicts(file: Path) -> None:
    plan = (
        "--lower",
        "295",
        "--upper",
        "30,5 MPa",
        "--spread-max",
        "6",
        "--decay-max",
        "20",
        "--gauge-uncertainty",
        "2",
    )
    found = asked(file, "--volume", "50", "--bulk-modulus", "1,5", *plan)
    hold = found["holds"][0]
    assert hold["leak_mm3_per_s"] == pytest.approx(50 / 15_000 * 1000 * hold["rate_bar_per_min"] / 60, rel=1e-4)
    verdicts = {one["what"]: one["verdict"] for one in found["verdicts"]}
    assert verdicts == {
        "Opening pressure": "conforms",
        "Spread": "conforms",
        "Decay of hold 1": "does-not-conform",
    }


def test_a_table_names_openings_and_holds_for_people(file: Path) -> None:
    result = CliRunner().invoke(calc, ["trace", str(file), "--lower", "310"])
    assert "pressure [bar]" in result.stdout
    assert result.exit_code == 0
    for words in ("opening", "decay", "semicolon", "mean 300.", "does-not-conform"):
        assert words in result.stdout


def test_a_file_without_time_or_unit_is_read_as_it_is_told(tmp_path: Path, file: Path) -> None:
    path = tmp_path / "bare.csv"
    rows = [line.split(";")[1] for line in file.read_text(encoding="utf-8").splitlines()[1:]]
    path.write_text("\n".join(rows), encoding="utf-8")
    for missing, options in (("sample rate", ()), ("in which unit", ("--rate", "1000"))):
        result = CliRunner().invoke(calc, ["trace", str(path), *options])
        assert (result.exit_code, result.stdout) == (2, "")
        assert missing in result.stderr
    assert len(asked(path, "--rate", "1000", "--unit", "bar")["openings"]) == 4


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "The file is empty"),
        ("time [s];pressure [bar]\n1;2\n", "at least 30"),
        ("time [s];pressure [bar]\n" + "\n".join(f"{-n};200" for n in range(50)), "runs backwards"),
        ("no table here", "No rows of numbers"),
    ],
)
def test_bad_input_ends_with_status_2_and_one_sentence(tmp_path: Path, text: str, sentence: str) -> None:
    path = tmp_path / "trace.csv"
    path.write_text(text, encoding="utf-8")
    result = CliRunner().invoke(calc, ["trace", str(path), "--json"])
    assert (result.exit_code, result.stdout) == (2, "")
    assert sentence in result.stderr
    assert result.stderr.count("\n") == 1


def test_a_file_that_is_missing_or_a_folder_ends_with_one_sentence(tmp_path: Path) -> None:
    for path in (tmp_path / "none.csv", tmp_path):
        result = CliRunner().invoke(calc, ["trace", str(path)])
        assert (result.exit_code, result.stderr.count("\n")) == (2, 1)
