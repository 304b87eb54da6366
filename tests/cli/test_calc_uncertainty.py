"""`calc uncertainty BUDGET.json` and `calc pins`, from a terminal: keys, numbers, tables, refusals."""

import json
import math
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from service.cli.calc import calc

BUDGET = {
    "measurand": "Seat diameter",
    "unit": "mm",
    "contributions": [
        {"name": "Calibration", "expanded_uncertainty": 0.002, "k": 2},
        {"name": "Resolution", "resolution": "0,001"},
        {"name": "Repeatability", "readings": [25.011, 25.013, 25.012]},
    ],
}


def _ask(*arguments: str) -> Result:
    return CliRunner().invoke(calc, list(arguments))


def _file(tmp_path: Path, given: object) -> str:
    path = tmp_path / "budget.json"
    path.write_text(given if isinstance(given, str) else json.dumps(given), encoding="utf-8")
    return str(path)


def _json(*arguments: str) -> Any:
    result = _ask(*arguments, "--json")
    assert result.exit_code == 0, result.output
    return json.loads(result.stdout)


def test_a_budget_answers_with_the_keys_of_the_contract(tmp_path: Path) -> None:
    # By hand: u² in units of 1e-6 mm² are 1, 1/12 and 1/3, the last with 2 degrees of freedom; k = t(ν) of SciPy.
    from scipy import stats

    found = _json("uncertainty", _file(tmp_path, BUDGET))
    variance = 1 + 1 / 12 + 1 / 3
    freedom = variance**2 / ((1 / 3) ** 2 / 2)
    k = stats.t.ppf((1 + math.erf(math.sqrt(2))) / 2, freedom)
    assert found["combined"] == pytest.approx(0.001 * math.sqrt(variance))
    assert found["effective_dof"] == pytest.approx(freedom)
    assert found["k"] == pytest.approx(k)
    assert found["expanded"] == pytest.approx(k * 0.001 * math.sqrt(variance))
    assert [line["share"] for line in found["contributions"]] == pytest.approx(
        [1 / variance, 1 / 12 / variance, 1 / 3 / variance]
    )


def test_where_nothing_limits_the_freedom_it_is_null_and_k_is_two(tmp_path: Path) -> None:
    found = _json("uncertainty", _file(tmp_path, {"contributions": BUDGET["contributions"][:2]}))
    assert (found["effective_dof"], found["k"]) == (None, 2.0)


def test_people_get_the_budget_as_a_table(tmp_path: Path) -> None:
    result = _ask("uncertainty", _file(tmp_path, BUDGET))
    assert result.exit_code == 0
    for text in ("Seat diameter", "70.6%", "expanded U = 0.0025 mm", "k = 2.072 at 95.45%"):
        assert text in result.stdout


def test_the_help_tells_the_format_by_an_example_that_works(tmp_path: Path) -> None:
    from service.cli.calc_uncertainty import uncertainty

    words = " ".join((uncertainty.__doc__ or "").split())
    example = words[words.index("Example: ") + len("Example: ") : words.index("]}]}") + 4]
    assert _json("uncertainty", _file(tmp_path, example))["k"] > 2
    assert "Example" in _ask("uncertainty", "--help").stdout


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ("{", "is not JSON"),
        ("[" * 100_000, "is not JSON"),
        ('{"contributions": [{"name": "x", "standard_uncertainty": NaN}]}', "standard uncertainty is nan"),
        ({"contributions": []}, "no contribution"),
        ({"contributions": [{"name": "x", "half_width": 1}]}, "half-width needs its distribution"),
        ({"contributions": [{"name": "x", "standard_uncertainty": 1, "k": 2}]}, "contributions.1: k stands with"),
        ([], "is not a JSON object"),
    ],
)
@pytest.mark.parametrize("options", [(), ("--json",)])
def test_a_budget_that_makes_no_sense_ends_with_status_2_and_one_sentence(
    tmp_path: Path, given: object, words: str, options: tuple[str, ...]
) -> None:
    result = _ask("uncertainty", _file(tmp_path, given), *options)
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr
    assert result.stderr.count("\n") == 1


def test_a_file_that_is_not_there_or_not_text_is_refused(tmp_path: Path) -> None:
    assert "cannot be read" in _ask("uncertainty", str(tmp_path / "none.json")).stderr
    (tmp_path / "picture.json").write_bytes(b"\xff\xd8\xff\xe0")
    result = _ask("uncertainty", str(tmp_path / "picture.json"))
    assert (result.exit_code, "is not JSON in UTF-8" in result.stderr) == (2, True)


def test_the_pins_of_a_class_are_its_limits() -> None:
    # ISO 286-1:2010 Table 1: IT9 to 3 mm is 25 µm, H has its lower deviation at zero.
    assert _json("pins", "0.85 H9") == {"go_mm": 0.85, "no_go_mm": 0.875}


def test_wear_uncertainty_and_steps_move_the_pins_to_buy_inwards() -> None:
    found = _json("pins", "0.85 H9", "--wear-um", "2", "--uncertainty-um", "0,5", "--increment-um", "5")
    assert found == {
        "go_mm": 0.85,
        "no_go_mm": 0.875,
        "go_new_mm": 0.852,
        "go_to_buy_mm": 0.855,
        "no_go_to_buy_mm": 0.87,
        "between_mm": [0.86, 0.865],
    }
    shown = _ask("pins", "0.85 H9", "--increment-um", "5").stdout
    assert "to buy" in shown
    assert str(Decimal("0.875")) in shown


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("25 g6",), "Gauge pins try holes"),
        (("0.85 I9",), "has no tolerance class I"),
        (("0.85 H9", "--wear-um", "25"), "wear allowance"),
        (("0.85 H9", "--increment-um", "0"), "cannot step"),
        (("0.85 H9", "--wear-um", "much"), "Wear um reads"),
        ((), "Missing argument"),
    ],
)
def test_pins_that_cannot_be_end_with_status_2_and_one_sentence(arguments: tuple[str, ...], words: str) -> None:
    result = _ask("pins", *arguments)
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr
    assert result.stderr.count("\n") == 1
