"""`spindlebook calc spray-holes`: brackets, spread, flow area and verdicts from a file of pins tried. All invented."""

import json
import math
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from service.cli.main import app

FOUR = "hole,pin mm,enters\n" + "".join(
    f"{hole},{low},yes\n{hole},{high},no\n"
    for hole, low, high in ((2, "0.86", "0.87"), (1, "0.85", "0.86"), (3, "0.87", "0.89"), (4, "0.89", "0.90"))
)
CLASS = ("--expanded-uncertainty", "0.001", "--class", "0.85 H9")


@pytest.fixture
def ran(tmp_path: Path) -> Any:
    """Runs the command on a text."""

    def run(text: str, *words: str) -> Any:
        file = tmp_path / "pins.csv"
        file.write_text(text, encoding="utf-8")
        return CliRunner().invoke(app, ["calc", "spray-holes", str(file), *words])

    return run


def test_each_hole_lies_between_its_pins_and_is_judged_by_the_whole_bracket(ran: Any) -> None:
    # ISO 286: H9 up to 3 mm is 0 to +25 µm, so 0.85 H9 is 0.850 to 0.875 mm (shared/iso286).
    answer = json.loads(ran(FOUR, *CLASS, "--json").output)
    assert [(one["hole"], one["lower_mm"], one["upper_mm"], one["verdict"]) for one in answer["holes"]] == [
        (1, 0.849, 0.861, "not-proven"),
        (2, 0.859, 0.871, "conforms"),
        (3, 0.869, 0.891, "not-proven"),
        (4, 0.889, 0.901, "does-not-conform"),
    ]
    first = answer["holes"][0]
    assert (first["largest_entering_mm"], first["smallest_refused_mm"], first["middle_mm"]) == (0.85, 0.86, 0.855)
    # JCGM 100, 4.3.7: a rectangle of 10 µm, and two pins of one calibration with u = 0.5 µm; rounded upwards.
    assert first["expanded_uncertainty_mm"] == math.ceil(2 * math.hypot(0.010 / math.sqrt(12), 0.0005) * 1e4) / 1e4


def test_spread_and_flow_area_are_told_with_all_that_the_brackets_leave_possible(ran: Any) -> None:
    answer = json.loads(ran(FOUR, *CLASS, "--json").output)
    spread, area, percent = answer["spread_mm"], answer["flow_area_mm2"], answer["percent_of_nominal"]
    assert (spread["value"], spread["least"], spread["most"]) == (0.04, 0.028, 0.052)
    circles = [math.pi / 4 * math.fsum(size**2 for size in sizes) for sizes in (
        (0.849, 0.859, 0.869, 0.889), (0.855, 0.865, 0.88, 0.895), (0.861, 0.871, 0.891, 0.901),
    )]  # fmt: skip
    assert [area["least"], area["value"], area["most"]] == pytest.approx(circles, abs=1e-4)
    nominal = math.pi * 0.85**2
    assert answer["nominal_area_mm2"] == pytest.approx(nominal, abs=1e-4)
    assert percent["value"] == pytest.approx(100 * circles[1] / nominal, abs=0.01)
    assert percent["least"] < percent["value"] - percent["expanded_uncertainty"] / 2
    assert answer["open_holes"] == []


def test_a_nominal_size_compares_the_area_and_judges_nothing(ran: Any) -> None:
    answer = json.loads(ran(FOUR, "--nominal", "0,85", "--json").output)
    assert {one["verdict"] for one in answer["holes"]} == {None}
    assert answer["percent_of_nominal"]["value"] > 100
    assert json.loads(ran(FOUR, "--json").output)["percent_of_nominal"] is None
    assert "Against nominal: not known: no nominal size is given" in ran(FOUR).output


def test_a_hole_open_to_one_side_leaves_area_and_spread_unknown_but_can_still_fail(ran: Any) -> None:
    text = "1;0,85;yes\n1;0,86;no\n2;0,89;yes\n3;0,86;yes\n"
    answer = json.loads(ran(text, *CLASS, "--json").output)
    assert [one["verdict"] for one in answer["holes"]] == ["not-proven", "does-not-conform", "not-proven"]
    assert (answer["open_holes"], answer["spread_mm"], answer["flow_area_mm2"]) == ([2, 3], None, None)
    assert "not known: the size of hole 2, 3 is open to one side" in ran(text, *CLASS).output


def test_the_table_tells_bracket_and_verdict(ran: Any) -> None:
    shown = ran(FOUR, *CLASS)
    assert shown.exit_code == 0
    for said in ("0.85 to 0.86", "0.865 ±", "Nominal area: 2.2698 mm², 4 × 0.85 mm", "Flow area: "):
        assert said in shown.output
    columns = [ran(FOUR, *words).output.splitlines()[0].count("┳") for words in (CLASS, ())]
    assert columns == [4, 3]  # without a class there is no column of verdicts


def test_k_is_that_of_the_pins(ran: Any) -> None:
    asked = ("--expanded-uncertainty", "0.009", "--json")
    by_two, by_three = (json.loads(ran(FOUR, *asked, "--k", k).output)["holes"][0] for k in ("2", "3"))
    assert (by_two["lower_mm"], by_three["lower_mm"]) == (0.841, 0.841)
    assert by_three["expanded_uncertainty_mm"] < by_two["expanded_uncertainty_mm"]


@pytest.mark.parametrize(
    ("text", "words", "said"),
    [
        ("1,0.85,yes\n2,0.86,yes\n2,0.85,no", (), "Hole 2: the 0.86 mm pin enters but the smaller 0.85 mm pin"),
        ("1,0.85,yes\n1,0.850,no", (), "Hole 1: the 0.85 mm pin is recorded both as entering and as not entering"),
        ("1,0.85,yes\n3,0.85,yes", (), "Hole 2 has no pin tried in it"),
        ("hole,pin,enters\n", (), "No pin is tried yet"),
        ("", (), "No pin is tried yet"),
        ("hole,pin µm,enters\n1,850,yes", (), "The header names µm"),
        ("one,0.85,yes", (), "Line 1 reads “one” as the hole"),
        ("1,0.85,yes\n1,0,87,no", (), "Line 2 has 4 values"),
        ("1,0.85,yes\n1,NaN,no", (), "Line 2 reads “NaN” as the pin"),
        ("1,0.85,maybe", (), "Line 1 reads “maybe”"),
        ("0,0.85,yes", (), "There is a hole 0"),
        ("9999,0.85,yes", (), "There is a hole 9999"),
        ("1,-0.85,yes", (), "Hole 1 has a pin of -0.85 mm"),
        ("1,850,yes", (), "Hole 1 has a pin of 850 mm"),
        (FOUR, ("--expanded-uncertainty", "-0.001"), "U of a pin is -0.001 mm"),
        (FOUR, ("--expanded-uncertainty", "1"), "U of a pin is 1 mm"),
        (FOUR, ("--k", "0"), "The coverage factor k is 0"),
        (FOUR, ("--k", "1e-9"), "The coverage factor k is 0.000000001"),
        (FOUR, ("--nominal", "0"), "The nominal size is 0 mm"),
        (FOUR, ("--nominal", "0.85", "--class", "0.85 H9"), "not both"),
        (FOUR, ("--class", "0.85 g6"), "a small letter is a shaft"),
        (FOUR, ("--class", "0.85 Q9"), ""),
        ("1,0.85,yes\n" * 2001, (), "more than 2000 lines"),
    ],
)
def test_what_cannot_be_is_refused_with_status_two_and_one_sentence(
    ran: Any, text: str, words: tuple[str, ...], said: str
) -> None:
    done = ran(text, *words, "--json")
    assert (done.exit_code, done.stdout) == (2, "")
    assert said in done.stderr
    assert done.stderr.count("\n") == 1


def test_a_file_that_cannot_be_read_is_refused(tmp_path: Path) -> None:
    photograph = tmp_path / "nozzle.png"
    photograph.write_bytes(b"\x89PNG\xff")
    (tmp_path / "log.csv").write_bytes(b"1,0.85,yes\n" * 100_000)
    for name in ("nozzle.png", "log.csv", "nothing.csv"):
        done = CliRunner().invoke(app, ["calc", "spray-holes", str(tmp_path / name)])
        assert (done.exit_code, done.stderr.count("\n")) == (2, 1), name
