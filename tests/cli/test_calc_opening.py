"""`spindlebook calc opening-pressure` and `calc discs`: keys, numbers, exit status, one sentence for bad input."""

import json
from decimal import Decimal as D
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from service.cli.calc import calc

GEOMETRY = {"--rate": "150", "--guide": "8", "--seat": "4.5", "--preload": "7"}
DISCS = {
    "--now": "320",
    "--target": "350",
    "--tolerance": "5",
    "--bar-per-mm": "120",
    "--stock": "0.05,0.10,0.20",
    "--max": "5",
}


def _ask(command: str, options: dict[str, str], *more: str) -> Result:
    return CliRunner().invoke(calc, [command, *(word for pair in options.items() for word in pair), *more])


def _json(command: str, options: dict[str, str]) -> Any:
    result = _ask(command, options, "--json")
    assert (result.exit_code, result.stderr) == (0, "")
    return json.loads(result.stdout, parse_float=D)


def test_the_opening_pressure_of_a_spring_has_three_keys() -> None:
    # 150 N/mm over 7 mm is 1050 N; the ring of 8 mm over 4.5 mm has 34.36 mm², the guide 50.27 mm².
    found = _json("opening-pressure", GEOMETRY)
    assert list(found) == ["opening_bar", "closing_bar", "bar_per_mm"]
    assert [round(value, 3) for value in found.values()] == [D("305.577"), D("208.891"), D("43.654")]


def test_the_fewest_discs_come_with_the_pressure_to_expect() -> None:
    assert _json("discs", DISCS) == {"solutions": [{"discs_mm": [D("0.2"), D("0.05")], "expected_bar": 350}]}


def test_no_set_is_an_empty_list_and_the_table_says_to_replace_the_spring() -> None:
    weak = DISCS | {"--now": "200"}
    assert _json("discs", weak) == {"solutions": []}
    told = _ask("discs", weak)
    assert told.exit_code == 0
    assert "replace the spring" in told.stdout


def test_discs_that_are_fitted_may_come_out() -> None:
    found = _json("discs", DISCS | {"--now": "380", "--fitted": "0.20,0.05"})
    assert found == {"solutions": [{"discs_mm": [], "expected_bar": 350, "removed_mm": [D("0.2"), D("0.05")]}]}
    assert "take out" in _ask("discs", DISCS | {"--now": "380", "--fitted": "0.20,0.05"}).stdout


@pytest.mark.parametrize(
    ("command", "options", "words"),
    [
        ("opening-pressure", GEOMETRY | {"--seat": "8"}, "not smaller than the guide"),
        ("opening-pressure", GEOMETRY | {"--rate": "-1"}, "spring rate reads -1"),
        ("opening-pressure", GEOMETRY | {"--guide": "NaN"}, "not a number"),
        ("opening-pressure", GEOMETRY | {"--preload": "9000"}, "preload reads 9000 mm"),
        ("discs", DISCS | {"--stock": "0.05,abc"}, "not a number"),
        ("discs", DISCS | {"--stock": "20"}, "A disc of 20 mm is none"),
        ("discs", DISCS | {"--max": "-1"}, "whole number"),
        ("discs", DISCS | {"--max": "99"}, "0 to 20 discs"),
        ("discs", DISCS | {"--tolerance": "-5"}, "tolerance is below zero"),
        ("discs", DISCS | {"--bar-per-mm": "0"}, "a disc raises the pressure"),
    ],
)
def test_bad_input_ends_with_status_2_and_one_sentence(command: str, options: dict[str, str], words: str) -> None:
    result = _ask(command, options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr
    assert len(result.stderr.strip().splitlines()) == 1
