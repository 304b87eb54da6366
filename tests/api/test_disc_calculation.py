"""The search for discs over JSON: the command line's solutions, with the advice where there is none."""

import json

import pytest
from typer.testing import CliRunner

from service.cli.main import app as command_line
from tests.api.callers import Person

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])
ASKED = {"now": "320", "target": "350", "tolerance": "5", "bar_per_mm": "120", "stock": "0.05,0.10,0.20", "max": "5"}


def test_the_api_finds_the_sets_of_the_command_line(technician: Person) -> None:
    options = [word for name, value in ASKED.items() for word in (f"--{name.replace('_', '-')}", value)]
    done = CliRunner().invoke(command_line, ["calc", "discs", *options, "--json"])
    answer = technician.get("/calculations/discs", **ASKED).json()
    told = [{"discs_mm": one["discs_mm"], "expected_bar": one["expected_bar"]} for one in answer["solutions"]]
    assert {"solutions": told} == json.loads(done.stdout)
    assert answer["advice"] == "change-discs"


def test_where_no_set_can_the_advice_says_so(technician: Person) -> None:
    answer = technician.get("/calculations/discs", **(ASKED | {"now": "200"})).json()
    assert (answer["solutions"], answer["advice"]) == ([], "replace-spring")
    assert answer["sentence"].endswith("replace the spring.")


@pytest.mark.parametrize(
    ("change", "field"),
    [({"stock": "x"}, "stock"), ({"tolerance": "-1"}, "tolerance"), ({"now": "0"}, "now"), ({"max": "21"}, "max")],
)
def test_bad_input_is_answered_by_its_field(technician: Person, change: dict[str, str], field: str) -> None:
    answer = technician.get("/calculations/discs", **(ASKED | change))
    assert (answer.status_code, answer.json()["field"]) == (422, field)
