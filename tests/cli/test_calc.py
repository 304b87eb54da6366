"""The calculations from a terminal: keys, numbers, exit status, one sentence for bad input."""

import json
from decimal import Decimal
from typing import Any

import pytest
from typer.testing import CliRunner, Result

from service.cli.calc import calc, to_json


def _ask(*arguments: str) -> Result:
    return CliRunner().invoke(calc, list(arguments))


def _json(*arguments: str) -> Any:
    result = _ask(*arguments, "--json")
    assert result.exit_code == 0, result.output
    assert result.stderr == ""
    return json.loads(result.stdout, parse_float=Decimal)


# 25 H7 and 25 g6: ISO 286-1:2010 Tables 1, 2 and 4 (copies in shared/iso286/).
HOLE_25_H7 = {
    "nominal_mm": 25,
    "kind": "hole",
    "upper_um": 21,
    "lower_um": 0,
    "max_mm": Decimal("25.021"),
    "min_mm": 25,
    "tolerance_um": 21,
}
SHAFT_25_G6 = {
    "nominal_mm": 25,
    "kind": "shaft",
    "upper_um": -7,
    "lower_um": -20,
    "max_mm": Decimal("24.993"),
    "min_mm": Decimal("24.98"),
    "tolerance_um": 13,
}


def test_one_designation_gives_one_object_with_exact_numbers() -> None:
    assert _json("limits", "25 H7") == HOLE_25_H7


def test_several_designations_give_an_array_in_their_order() -> None:
    assert _json("limits", "25 g6", "25 H7") == [SHAFT_25_G6, HOLE_25_H7]


def test_half_micrometres_are_printed_as_they_are() -> None:
    found = _json("limits", "Ø12,5 JS8")
    assert (found["upper_um"], found["lower_um"], found["max_mm"]) == (
        Decimal("13.5"),
        Decimal("-13.5"),
        Decimal("12.5135"),
    )


def test_a_fit_gives_both_parts_and_their_clearances() -> None:
    assert _json("fit", "25 H7/g6") == {
        "hole": HOLE_25_H7,
        "shaft": SHAFT_25_G6,
        "clearance_max_um": 41,
        "clearance_min_um": 7,
        "kind": "clearance",
    }


@pytest.mark.parametrize(
    ("value", "verdict"), [("-5", "conforms"), ("-5.9", "not-proven"), ("-7", "does-not-conform"), ("-5,5", "conforms")]
)
def test_a_negative_value_is_judged_like_any_other(value: str, verdict: str) -> None:
    found = _json("conformity", "--value", value, "--expanded-uncertainty", "0.2", "--k", "2", "--lower", "-6")
    assert set(found) == {"verdict", "probability_of_conformity"}
    assert found["verdict"] == verdict


def test_the_probability_of_conformity_is_that_of_jcgm_106() -> None:
    # JCGM 106:2012 clause 7, oil viscosity: y 13.6, u 1.8, limits 12.5 to 16.3, p 0.66; from memory.
    found = _json(
        "conformity",
        "--value",
        "13.6",
        "--expanded-uncertainty",
        "3.6",
        "--k",
        "2",
        "--lower",
        "12.5",
        "--upper",
        "16.3",
    )
    assert round(found["probability_of_conformity"], 2) == Decimal("0.66")
    assert found["verdict"] == "not-proven"


def test_a_guard_factor_of_zero_is_simple_acceptance() -> None:
    common = ("conformity", "--value", "11", "--expanded-uncertainty", "0.2", "--k", "2", "--upper", "11")
    assert _json(*common)["verdict"] == "not-proven"
    assert _json(*common, "--guard-factor", "0")["verdict"] == "conforms"


@pytest.mark.parametrize(
    ("number", "answer"),
    [
        # IMO Resolution A.1117(30); examples with their sources in tests/published/imo_numbers.json.
        ("9074729", {"valid": True, "expected_check_digit": 9}),
        ("IMO 9074728", {"valid": False, "expected_check_digit": 9}),
        ("1234567", {"valid": True, "expected_check_digit": 7}),
    ],
)
def test_a_ship_number_is_checked_by_its_last_digit(number: str, answer: dict[str, object]) -> None:
    assert _json("imo", number) == answer


@pytest.mark.parametrize(
    ("arguments", "shown"),
    [
        (("limits", "25 H7", "25 g6"), ["25 H7", "25.021", "24.993"]),
        (("fit", "25 H7/p6"), ["interference fit, clearance -35 to -1 µm"]),
        (("conformity", "--value", "10", "--expanded-uncertainty", "0.2", "--lower", "9"), ["conforms", "100.00%"]),
        (
            ("conformity", "--value", "1", "--expanded-uncertainty", "1", "--lower", "0.5", "--upper", "1.5"),
            ["not-proven", "closer than two guard bands"],
        ),
        (("imo", "9074729"), ["9074729", "yes"]),
    ],
)
def test_people_get_a_table(arguments: tuple[str, ...], shown: list[str]) -> None:
    result = _ask(*arguments)
    assert result.exit_code == 0
    for text in shown:
        assert text in result.stdout


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("limits", "25 I7"), "has no tolerance class I"),
        (("limits", "25 H7", "20 T7"), "starts over 24 mm"),
        (("limits", "25\nH"), "is not a tolerance designation"),
        (("limits",), "Missing argument"),
        (("limits", "25 H7", "--bogus"), "No such option"),
        (("fit", "25 H7"), "hole class, slash, shaft class"),
        (("fit", "25 g6/H7"), "is not a hole and a shaft"),
        (("conformity", "--value", "nan", "--expanded-uncertainty", "0.1", "--lower", "1"), "Value reads"),
        (("conformity", "--value", "1", "--expanded-uncertainty", "0.1"), "give a lower or an upper one"),
        (("conformity", "--value", "1", "--expanded-uncertainty", "-0.1", "--lower", "1"), "zero or a positive"),
        (("conformity", "--value", "1", "--expanded-uncertainty", "1", "--k", "0", "--lower", "1"), "usually 2"),
        (("conformity", "--value", "1"), "Missing option"),
        (("imo", "12345"), "seven digits"),
        (("no-such-command",), "No such command"),
        ((), "Missing command"),
    ],
)
@pytest.mark.parametrize("as_json", [False, True])
def test_bad_input_ends_with_status_2_and_one_sentence(arguments: tuple[str, ...], words: str, as_json: bool) -> None:
    asked = (*arguments, "--json") if as_json and arguments and arguments[0] != "no-such-command" else arguments
    result = _ask(*asked)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert words in result.stderr
    assert result.stderr.count("\n") == 1
    assert result.stderr.endswith(".\n")
    assert "Traceback" not in result.stderr


def test_a_decimal_is_a_plain_json_number() -> None:
    answer = {"a": Decimal("0.850"), "b": [Decimal("3.5E+2"), True, None, "µ"], "c": 0.1}
    assert json.loads(to_json(answer)) == {"a": 0.85, "b": [350, True, None, "µ"], "c": 0.1}
    assert '"a": 0.85,' in to_json(answer)
