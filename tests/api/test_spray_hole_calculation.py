"""Spray holes calculated over JSON: as on the command line, and refused by field. All invented."""

import json
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from service.cli.main import app as command_line
from tests.api.callers import Person

PASSES: list[dict[str, Any]] = [
    {"hole": 1, "pin": "0,85", "enters": True},
    {"hole": 1, "pin": "860 µm", "enters": False},
    {"hole": 2, "pin": 0.86, "enters": True},
    {"hole": 2, "pin": 0.87, "enters": False},
    {"hole": 3, "pin": 0.89, "enters": True},
    {"hole": 3, "pin": 0.9, "enters": False},
]
BODY = {"passes": PASSES, "expanded_uncertainty": 0.001, "designation": "0.85 H9"}
LINES = "1,0.85,yes\n1,0.86,no\n2,0.86,yes\n2,0.87,no\n3,0.89,yes\n3,0.90,no\n"


@pytest.fixture
def database_kind() -> str:
    """Nothing is stored: one database is enough."""
    return "sqlite"


def test_holes_are_answered_as_on_the_command_line(technician: Person, tmp_path: Path) -> None:
    file = tmp_path / "pins.csv"
    file.write_text(LINES, encoding="utf-8")
    words = ["calc", "spray-holes", str(file), "--expanded-uncertainty", "0.001", "--class", "0.85 H9", "--json"]
    answer = technician.post("/calculations/spray-holes", BODY)
    assert answer.status_code == 200, answer.text
    assert answer.json() == json.loads(CliRunner().invoke(command_line, words).output)
    assert [one["verdict"] for one in answer.json()["holes"]] == ["not-proven", "conforms", "does-not-conform"]


def test_an_open_hole_and_no_class_leave_null(technician: Person) -> None:
    answer = technician.post("/calculations/spray-holes", {"passes": PASSES[:1], "nominal": "0.85"}).json()
    assert (answer["open_holes"], answer["spread_mm"], answer["percent_of_nominal"]) == ([1], None, None)
    assert (answer["holes"][0]["upper_mm"], answer["holes"][0]["verdict"]) == (None, None)


@pytest.mark.parametrize(
    ("change", "code", "field"),
    [
        ({"passes": [*PASSES, {"hole": 1, "pin": 0.87, "enters": True}]}, "pins-contradict", "passes"),
        ({"passes": []}, "passes-missing", "passes"),
        ({"passes": PASSES[2:]}, "hole-not-gauged", "passes"),
        ({"passes": [{"hole": 1, "pin": "1 bar", "enters": True}]}, "unit-wrong-dimension", "passes"),
        ({"passes": [{"hole": 41, "pin": 1, "enters": True}]}, "hole-number", "passes"),
        ({"expanded_uncertainty": "NaN"}, "number-unreadable", "expanded_uncertainty"),
        ({"k": "-2"}, "coverage-factor-not-positive", "k"),
        ({"nominal": "0.85"}, "nominal-twice", "nominal"),
        ({"designation": "0.85 g6"}, "class-not-a-hole", "designation"),
    ],
)
def test_what_cannot_be_is_refused_by_its_field(
    technician: Person, change: dict[str, Any], code: str, field: str
) -> None:
    answer = technician.post("/calculations/spray-holes", {**BODY, **change})
    assert (answer.status_code, answer.json()["code"], answer.json()["field"]) == (422, code, field)


def test_a_ships_office_does_not_gauge(office: Person) -> None:
    assert office.post("/calculations/spray-holes", BODY).status_code == 403
