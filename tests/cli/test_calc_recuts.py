"""`spindlebook calc recuts`: the metal that is left and how many more cuts it likely bears."""

import json

from typer.testing import CliRunner

from service.cli.main import app

NINE = "0.05," * 8 + "0.05"


def answer(*words: str) -> dict[str, object]:
    done = CliRunner().invoke(app, ["calc", "recuts", *words, "--json"])
    assert done.exit_code == 0, done.output
    return json.loads(done.output)  # type: ignore[no-any-return]


def test_cuts_that_are_alike_are_counted_off_the_metal() -> None:
    asked = ("--size", "12.38", "--limit", "12.60", "--expanded-uncertainty", "0.001", "--cuts", NINE)
    assert answer(*asked) == {
        "remaining_mm": 0.22, "expanded_uncertainty_mm": 0.001, "cuts": 9, "careful": 4, "even": 4, "hopeful": 4,
    }  # fmt: skip


def test_decimal_commas_a_height_and_too_few_cuts_are_taken_as_they_are() -> None:
    asked = ("--size", "29,95", "--limit", "29,7", "--expanded-uncertainty", "0,01", "--cuts", "0,04; 0,05")
    found = answer(*asked, "--side", "lower")
    assert (found["remaining_mm"], found["cuts"], found["careful"]) == (0.25, 2, None)
    shown = CliRunner().invoke(app, ["calc", "recuts", *asked, "--side", "lower"])
    assert "Not known: 2 recuts of this type on record, and a forecast needs 9." in shown.output


def test_bad_input_ends_with_status_two_and_one_sentence() -> None:
    asked = ["--size", "12.38", "--limit", "12.60", "--expanded-uncertainty", "0.001", "--cuts"]
    for more in (["0.05,x"], ["0.05", "--side", "left"], ["0," * 9], ["0.05,0.05,NaN"]):
        done = CliRunner().invoke(app, ["calc", "recuts", *asked, *more])
        assert done.exit_code == 2, more
        assert done.stderr.count("\n") == 1
