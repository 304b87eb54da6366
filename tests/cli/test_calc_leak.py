"""`spindlebook calc back-leakage`: keys, the flow with its uncertainty, one sentence for bad input."""

import json
from math import sqrt

import pytest
from typer.testing import CliRunner

from service.cli.calc import calc

GIVEN = {"--volume": "6", "--seconds": "60", "--expanded-uncertainty": "0.15", "--resolution": "0.2"}


def _ask(*more: str, **instead: str) -> tuple[int, str, str]:
    options = GIVEN | {f"--{name}": value for name, value in instead.items()}
    result = CliRunner().invoke(calc, ["back-leakage", *(word for pair in options.items() for word in pair), *more])
    return result.exit_code, result.stdout, result.stderr


def test_a_back_leakage_has_three_keys_and_the_doubt_of_cylinder_and_stopwatch() -> None:
    # JCGM 100:2008, 5.1.6 (12): of a quotient V ÷ t the relative variances add up. u(V): 0.15 ÷ 2 by its
    # certificate and 0.1 ÷ √3 by its step (4.3.7), u(t) = 0.3 ÷ √3.
    status, told, _ = _ask("--json")
    found = json.loads(told)
    assert (status, list(found)) == (0, ["flow_ml_per_min", "expanded_uncertainty", "k"])
    relative = sqrt((0.075**2 + 0.1**2 / 3) / 6**2 + (0.3**2 / 3) / 60**2)
    assert found["flow_ml_per_min"] == 6
    assert found["expanded_uncertainty"] == pytest.approx(2 * 6 * relative, abs=0.01)


@pytest.mark.parametrize("wrong", [{"seconds": "0"}, {"seconds": "1.5"}, {"volume": "x"}, {"volume": "9000"}])
def test_bad_input_ends_with_one_sentence(wrong: dict[str, str]) -> None:
    status, told, sentence = _ask(**wrong)
    assert (status, told) == (2, "")
    assert sentence.strip().endswith(".")
