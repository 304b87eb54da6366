"""A pressure trace over the API: the same answer as on the command line, refusals by their field."""

import json
from pathlib import Path
from typing import Any

import httpx
import pytest
from typer.testing import CliRunner

from service.cli.calc import calc
from tests.api.callers import Person
from tests.hydraulics.invented_traces import Bench, as_csv, strokes

pytestmark = pytest.mark.parametrize("database_kind", ["sqlite"])
TRACE = as_csv(*strokes(Bench(rate_hz=200, seed=7)).made(0.002))


def send(person: Person, content: bytes = TRACE, **asked: str) -> httpx.Response:
    headers = {**person.headers, "Content-Type": "text/csv"}
    return person.client.post("/api/v1/calculations/trace", headers=headers, params=asked, content=content)


def test_a_trace_is_analysed_as_on_the_command_line(technician: Person, tmp_path: Path) -> None:
    file = tmp_path / "trace.csv"
    file.write_bytes(TRACE)
    asked: dict[str, Any] = {"volume_cm3": "50", "bulk_modulus_gpa": "1.5", "lower_bar": "295", "upper_bar": "305"}
    options = ("--volume", "50", "--bulk-modulus", "1.5", "--lower", "295", "--upper", "305")
    printed = CliRunner().invoke(calc, ["trace", str(file), "--json", *options])
    answer = send(technician, **asked)
    assert answer.status_code == 200, answer.text
    assert answer.json() == json.loads(printed.stdout)
    assert answer.json()["opening_mean_bar"] == pytest.approx(300.25, rel=0.002)


@pytest.mark.parametrize(
    ("content", "asked", "field"),
    [
        (b"", {}, "file"),
        (b"\xff\xfe\x00", {}, "file"),
        (TRACE, {"rate_hz": "fast"}, "rate_hz"),
        (TRACE, {"pressure_unit": "furlong"}, "pressure_unit"),
        (TRACE, {"pressure_column": "9"}, "pressure_column"),
        (TRACE, {"lower_bar": "x" * 200}, "lower_bar"),
        (TRACE, {"colour": "red"}, "colour"),
    ],
)
def test_what_has_no_answer_is_refused_by_its_field(
    technician: Person, content: bytes, asked: dict[str, str], field: str
) -> None:
    answer = send(technician, content, **asked)
    assert (answer.status_code, answer.json()["field"]) == (422, field)


def test_a_ships_office_sends_no_trace(office: Person) -> None:
    assert send(office).status_code == 403
