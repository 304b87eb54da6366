"""Every calculation over the API: the keys of the command contract, the values of the sources."""

import csv
import json
import math
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from service.cli.main import app as command_line
from service.paths import SHARED
from tests.api.callers import Person

PUBLISHED = Path(__file__).parents[1] / "published"
BUDGET = {
    "unit": "mm",
    "contributions": [
        {"name": "Calibration", "expanded_uncertainty": 0.002, "k": 2},
        {"name": "Resolution", "resolution": 0.001},
        {"name": "Repeats", "readings": [25.011, 25.013, 25.012]},
        {"name": "Drift", "half_width": 0.0005, "distribution": "triangular", "degrees_of_freedom": None},
    ],
}
RECUTS = {"size": "12.38", "limit": "12.6", "expanded_uncertainty": "0.004", "cuts": ",".join(["0.05"] * 9)}
TRIANGLE = [[1.0, 0.0], [-0.5, 0.9], [-0.5, -0.8], [0.1, 1.0], [0.0, -1.02]]


@pytest.fixture
def database_kind() -> str:
    """Nothing is stored: one database is enough."""
    return "sqlite"


def on_the_command_line(*words: str) -> Any:
    """What `spindlebook calc … --json` answers."""
    done = CliRunner().invoke(command_line, ["calc", *words, "--json"])
    assert done.exit_code == 0, done.output
    return json.loads(done.output)


@pytest.mark.published
def test_limits_of_several_designations_are_the_published_ones_in_their_order(technician: Person) -> None:
    # Sources: shared/iso286/iso286_examples.csv.
    lines = (SHARED / "iso286" / "iso286_examples.csv").read_text(encoding="utf-8").splitlines()
    examples = list(csv.DictReader(lines))[::20]
    answer = technician.get("/calculations/limits", designation=[row["designation"] for row in examples]).json()
    assert [(one["upper_um"], one["lower_um"]) for one in answer] == [
        (float(row["upper_um"]), float(row["lower_um"])) for row in examples
    ]


def test_one_designation_is_answered_by_one_object(technician: Person) -> None:
    assert technician.get("/calculations/limits", designation="25 H7").json()["max_mm"] == 25.021


@pytest.mark.parametrize(
    ("path", "asked", "command"),
    [
        ("limits", {"designation": ["25 H7", "0.85 H9"]}, ["limits", "25 H7", "0.85 H9"]),
        ("limits", {"designation": "25 H7"}, ["limits", "25 H7"]),
        ("fit", {"designation": "25 H7/g6"}, ["fit", "25 H7/g6"]),
        (
            "pins",
            {"designation": "0.85 H9", "wear_um": "2", "uncertainty_um": "1", "increment_um": "5"},
            ["pins", "0.85 H9", "--wear-um", "2", "--uncertainty-um", "1", "--increment-um", "5"],
        ),
        ("pins", {"designation": "0.85 H9"}, ["pins", "0.85 H9"]),
        (
            "conformity",
            {"value": "13.6", "expanded_uncertainty": "3.6", "lower": "12.5", "upper": "16.3"},
            ["conformity", "--value", "13.6", "--expanded-uncertainty", "3.6", "--lower", "12.5", "--upper", "16.3"],
        ),
        ("recuts", RECUTS, ["recuts", *(f"--{key.replace('_', '-')}={value}" for key, value in RECUTS.items())]),
        (
            "opening-pressure",
            {"rate": "150", "guide": "8", "seat": "4.5 mm", "preload": "7"},
            ["opening-pressure", "--rate", "150", "--guide", "8", "--seat", "4.5", "--preload", "7"],
        ),
        ("imo", {"imo_number": "9074729"}, ["imo", "9074729"]),
        ("imo", {"imo_number": "9074728"}, ["imo", "9074728"]),
    ],
)
def test_the_api_answers_what_the_command_line_answers(
    technician: Person, path: str, asked: dict[str, Any], command: list[str]
) -> None:
    answer, printed = technician.get(f"/calculations/{path}", **asked).json(), on_the_command_line(*command)
    if isinstance(printed, list):
        assert answer == printed
    else:
        assert {key: answer[key] for key in printed} == printed


def test_a_budget_is_combined_as_on_the_command_line(technician: Person, tmp_path: Path) -> None:
    file = tmp_path / "budget.json"
    file.write_text(json.dumps(BUDGET), encoding="utf-8")
    answer = technician.post("/calculations/uncertainty", BUDGET)
    assert answer.status_code == 200, answer.text
    assert answer.json() == on_the_command_line("uncertainty", str(file))
    assert math.fsum(one["share"] for one in answer.json()["contributions"]) == pytest.approx(1)


def test_a_budget_that_nothing_limits_has_no_degrees_of_freedom(technician: Person) -> None:
    body = {"contributions": [{"name": "Calibration", "expanded_uncertainty": 0.002, "k": 2}]}
    answer = technician.post("/calculations/uncertainty", body).json()
    assert (answer["effective_dof"], answer["k"], answer["expanded"]) == (None, 2.0, 0.002)


@pytest.mark.published
def test_the_correlated_example_of_the_gum_is_combined(technician: Person) -> None:
    # JCGM 100:2008 H.2, resistance R = V·cos φ / I: inputs, result and sources in tests/published/gum_examples.json.
    examples = json.loads((PUBLISHED / "gum_examples.json").read_text(encoding="utf-8"))
    example = next(one for one in examples if one["id"] == "GUM_H2")
    given = example["inputs"]
    (v, u_v), (i, u_i), (phi, u_phi) = given["V"], given["I"], given["phi"]
    slopes = {"V": math.cos(phi) / i, "I": -v * math.cos(phi) / i**2, "phi": -v * math.sin(phi) / i}
    inputs = {"V": u_v, "I": u_i, "phi": u_phi}
    body = {
        "contributions": [
            {"name": name, "standard_uncertainty": u, "sensitivity": slopes[name]} for name, u in inputs.items()
        ],
        "correlations": [
            {"between": ["V", "I"], "coefficient": given["r(V,I)"]},
            {"between": ["V", "phi"], "coefficient": given["r(V,phi)"]},
            {"between": ["I", "phi"], "coefficient": given["r(I,phi)"]},
        ],
    }
    answer = technician.post("/calculations/uncertainty", body).json()
    assert answer["combined"] == pytest.approx(example["published"]["R"][1], rel=1e-6)


@pytest.mark.published
def test_the_least_squares_circle_is_the_published_one(technician: Person) -> None:
    # NIST least-squares reference pair; source and status in the file.
    given = json.loads((PUBLISHED / "roundness" / "nist_l2_cir2d29.json").read_text(encoding="utf-8"))
    circle = technician.post("/calculations/roundness", {"points": given["points"]}).json()["least_squares"]
    assert [circle["x_mm"], circle["y_mm"]] == pytest.approx(given["published"]["center"], abs=1e-7)
    assert 2 * circle["radius_mm"] == pytest.approx(given["published"]["diameter"], abs=1e-7)


def test_points_are_evaluated_as_on_the_command_line(technician: Person, tmp_path: Path) -> None:
    file = tmp_path / "points.csv"
    file.write_text("\n".join(f"{x},{y}" for x, y in TRIANGLE), encoding="utf-8")
    answer = technician.post("/calculations/roundness", {"points": TRIANGLE})
    assert answer.json() == on_the_command_line("roundness", str(file), "--lobes")


def test_an_arc_has_no_inscribed_circle(technician: Person) -> None:
    arc = [[math.cos(turn / 10), math.sin(turn / 10)] for turn in range(10)]
    assert technician.post("/calculations/roundness", {"points": arc}).json()["maximum_inscribed"] is None


def test_a_trace_larger_than_a_form_is_taken(technician: Person) -> None:
    turns = [math.tau * number / 30_000 for number in range(30_000)]
    points = [[math.cos(turn), math.sin(turn)] for turn in turns]
    assert len(json.dumps(points)) > 1_000_000
    answer = technician.post("/calculations/roundness", {"points": points})
    assert answer.status_code == 200, answer.text
    assert answer.json()["minimum_zone"]["radius_mm"] == pytest.approx(1)


@pytest.mark.parametrize(
    ("path", "asked", "field"),
    [
        ("limits", {"designation": "25 I7"}, "designation"),
        ("limits", {"designation": ["25 H7"] * 101}, "designation"),
        ("pins", {"designation": "25 g6"}, "designation"),
        ("pins", {"designation": "0.85 H9", "wear_um": "30"}, "wear_um"),
        ("pins", {"designation": "0.85 H9", "increment_um": "0"}, "increment_um"),
        ("pins", {"designation": "0.85 H9", "increment_um": "1", "uncertainty_um": "-1"}, "uncertainty_um"),
        ("conformity", {"value": "1", "expanded_uncertainty": "-1", "lower": "1"}, "expanded_uncertainty"),
        ("conformity", {"value": "1", "expanded_uncertainty": "1", "lower": "1", "k": "0"}, "k"),
        ("conformity", {"value": "nan", "expanded_uncertainty": "1", "lower": "1"}, "value"),
        ("imo", {"imo_number": "12"}, "imo_number"),
    ],
)
def test_a_question_without_an_answer_is_refused_by_its_field(
    technician: Person, path: str, asked: dict[str, Any], field: str
) -> None:
    answer = technician.get(f"/calculations/{path}", **asked)
    assert answer.status_code == 422
    assert answer.json()["field"].startswith(field)


def test_a_value_without_a_limit_is_not_judged(technician: Person) -> None:
    answer = technician.get("/calculations/conformity", value="1", expanded_uncertainty="1")
    assert (answer.status_code, answer.json()["code"]) == (422, "limits-missing")


@pytest.mark.parametrize(
    ("contribution", "field"),
    [
        ({"name": "A", "half_width": 1}, "contributions.1.distribution"),
        ({"name": "A", "resolution": 1, "half_width": 1}, "contributions.1"),
        ({"name": "A", "expanded_uncertainty": 1}, "contributions.1.k"),
        ({"name": "A", "standard_uncertainty": -1}, "contributions.1.standard_uncertainty"),
        ({"name": "A", "readings": [1]}, "contributions.1.readings"),
        ({"name": "A", "resolution": True}, "contributions.0.resolution"),
        ({"name": "A", "resolution": "1"}, "contributions.0.resolution"),
        ({"name": "A", "resolution": 1, "colour": 2}, "contributions.0.colour"),
        ({"resolution": 1}, "contributions.0.name"),
    ],
)
def test_a_contribution_without_meaning_is_refused_by_its_place(
    technician: Person, contribution: dict[str, Any], field: str
) -> None:
    answer = technician.post("/calculations/uncertainty", {"contributions": [contribution]})
    assert answer.status_code == 422
    assert answer.json()["field"] == field


@pytest.mark.parametrize("points", [[], [[0, 0], [1, 1]], [[0, 0]] * 5, [[0, 0], [1, 1], [2, 2]], [[1, 2, 3]] * 3])
def test_points_without_a_circle_are_refused(technician: Person, points: list[list[float]]) -> None:
    answer = technician.post("/calculations/roundness", {"points": points})
    assert answer.status_code == 422
    assert answer.json()["field"].startswith("points")


def test_a_number_that_no_measurement_has_is_refused(technician: Person) -> None:
    for number in ("NaN", "Infinity", "1e400"):
        answer = technician.text("POST", "/calculations/roundness", f'{{"points": [[0, 0], [1, 0], [0, {number}]]}}')
        assert answer.status_code == 422, number


def test_a_ships_office_calculates_nothing_but_sizes(office: Person) -> None:
    assert office.get("/calculations/pins", designation="0.85 H9").status_code == 403
    assert office.get("/calculations/imo", imo_number="9074729").status_code == 403
    assert office.get("/calculations/conformity", value="1", expanded_uncertainty="1", lower="1").status_code == 403
    assert office.post("/calculations/uncertainty", BUDGET).status_code == 403
    assert office.post("/calculations/roundness", {"points": TRIANGLE}).status_code == 403
