"""The desk calculators that are asked by their address: limits, fit, pins, conformity, IMO number."""

import csv
import json
from pathlib import Path
from urllib.parse import urlencode

import pytest

from service.paths import SHARED
from tests.pages.forms_on_page import Visitor, words_of

PUBLISHED = Path(__file__).parents[1] / "published"
EVERY = (
    "limits",
    "fit",
    "pins",
    "conformity",
    "uncertainty",
    "roundness",
    "hole-image",
    "opening-pressure",
    "discs",
    "recuts",
    "spray-holes",
    "trace",
    "imo",
)
ASKED = {
    "limits": {"designation": "25 H7"},
    "fit": {"designation": "25 H7/g6"},
    "pins": {"designation": "0.85 H9", "wear": "2", "increment": "5"},
    "conformity": {"value": "25.0185", "expanded_uncertainty": "4 µm", "lower": "25", "upper": "25.021"},
    "opening-pressure": {"rate": "150", "guide": "8", "seat": "4,5", "preload": "7"},
    "discs": {"now": "320", "target": "350", "tolerance": "5", "bar_per_mm": "120", "stock": "0.05, 0.10, 0.20"},
    "recuts": {
        "size": "12,38",
        "limit": "12.6",
        "expanded_uncertainty": "0.004",
        "side": "upper",
        "cuts": "0.05," * 8 + "0.05",
    },
    "spray-holes": {"passes": "1;0,85;yes\n1;0,86;no", "expanded_uncertainty": "1 µm", "designation": "0.85 H9"},
    "imo": {"number": "9074729"},
}


def ask(visitor: Visitor, calculator: str, part: bool = False, **typed: str) -> str:
    """What the calculator says, in words."""
    answer = visitor.get(f"/calculators/{calculator}?{urlencode(typed)}", part)
    assert answer.status_code == 200, words_of(answer)
    return words_of(answer)


def test_a_technician_and_a_manager_find_every_calculator_from_the_navigation(
    technician: Visitor, manager: Visitor
) -> None:
    for visitor in (technician, manager):
        assert 'href="/calculators"' in visitor.get("/board").text
        shelf = visitor.get("/calculators").text
        for calculator in EVERY:
            assert f'href="/calculators/{calculator}"' in shelf
            assert visitor.get(f"/calculators/{calculator}").status_code == 200


@pytest.mark.parametrize("calculator", ["", *(f"/{one}" for one in EVERY)])
def test_the_calculators_are_closed_to_a_ships_office(office: Visitor, calculator: str) -> None:
    assert office.get(f"/calculators{calculator}").status_code == 403


@pytest.mark.parametrize("calculator", ASKED)
def test_the_part_that_is_swapped_is_the_markup_of_the_page(technician: Visitor, calculator: str) -> None:
    address = f"/calculators/{calculator}?{urlencode(ASKED[calculator])}"
    page, part = technician.get(address), technician.get(address, part=True)
    assert part.text.strip() in page.text
    assert "<html" not in part.text
    assert part.headers["vary"] == page.headers["vary"] == "HX-Request, HX-Request-Type"


@pytest.mark.parametrize("calculator", ASKED)
def test_an_answer_carries_the_address_that_asks_it_again(technician: Visitor, calculator: str) -> None:
    address = f"/calculators/{calculator}?{urlencode(ASKED[calculator])}"
    assert f'href="{address.replace("&", "&amp;")}"' in technician.get(address, part=True).text


@pytest.mark.published
def test_limits_of_several_designations_are_the_published_ones(technician: Visitor) -> None:
    # ISO 286 examples and their sources: shared/iso286/iso286_examples.csv.
    lines = (SHARED / "iso286" / "iso286_examples.csv").read_text(encoding="utf-8").splitlines()
    examples = [row for row in csv.DictReader(lines) if row["designation"] in ("25 H7", "100 g6", "10 M8")]
    assert len(examples) == 3
    words = ask(technician, "limits", designation="\n".join(row["designation"] for row in examples))
    for row in examples:
        lower, upper = (
            f"{'+' if float(um) > 0 else '−' if float(um) < 0 else ''}{um.lstrip('-')}"
            for um in (row["lower_um"], row["upper_um"])
        )
        assert f"{lower} {upper} {float(row['upper_um']) - float(row['lower_um']):g}" in words


@pytest.mark.published
def test_a_fit_is_drawn_and_told(technician: Visitor) -> None:
    # ISO 286: H7 over 18 to 30 mm is 0 to +21 µm, g6 is −20 to −7 µm (shared/iso286, iso286_it and iso286_shaft_dev).
    words = ask(technician, "fit", designation="Ø25 H7/g6")
    assert "25 H7/g6: clearance fit The clearance lies between 7 and 41 µm." in words
    assert "The hole’s interval reaches from 0 to +21 µm" in words
    assert "The shaft’s interval reaches from −20 to −7 µm" in words
    assert "interference fit The interference lies between" in ask(technician, "fit", designation="120 H7/s6")
    assert "Anything from an interference of" in ask(technician, "fit", designation="25 H7/n6")


@pytest.mark.published
def test_pins_stand_at_the_limits_and_the_go_pin_has_room_to_wear(technician: Visitor) -> None:
    # ISO 286: IT9 up to 3 mm is 25 µm (shared/iso286/iso286_it.csv), so 0.85 H9 reaches from 0.85 to 0.875 mm.
    words = ask(technician, "pins", designation="0,85 H9", wear="0.002 mm", uncertainty="1", increment="5")
    assert "At the limit 0.85 0.875" in words
    assert "New 0.852 0.875" in words
    assert "To buy 0.855 0.87" in words
    assert "0.86, 0.865 mm" in words


@pytest.mark.published
def test_the_probability_is_that_of_the_example_in_jcgm_106(technician: Visitor) -> None:
    # JCGM 106:2012, 7.4, from memory: tests/published/decision_rules.json. Its unit is no matter here.
    examples = json.loads((PUBLISHED / "decision_rules.json").read_text(encoding="utf-8"))
    published = next(one["published"] for one in examples if one["id"].startswith("jcgm106_7.4"))
    typed = {"value": published["y"], "lower": published["TL"], "upper": published["TU"]}
    words = ask(technician, "conformity", **typed, expanded_uncertainty=str(2 * published["u"]), k="2")
    assert f"Probability that it conforms {100 * published['pc']:.0f}" in words
    assert "Not proven" in words


def test_a_value_in_another_unit_is_judged_in_the_unit_chosen(technician: Visitor) -> None:
    words = ask(technician, "conformity", unit="bar", value="35,2 MPa", expanded_uncertainty="2", lower="340")
    assert "Conforms It lies 12 bar inside the nearer limit, and the guard band is 2 bar." in words
    words = ask(technician, "conformity", unit="bar", value="337", expanded_uncertainty="2", lower="340")
    assert "Does not conform It lies 3 bar outside" in words


def test_limits_closer_than_two_guard_bands_are_said_to_prove_nothing(technician: Visitor) -> None:
    words = ask(technician, "conformity", value="1.001", expanded_uncertainty="0.002", lower="1", upper="1.002")
    assert "no value can conform at this uncertainty" in words


@pytest.mark.published
def test_the_check_digit_is_that_of_the_resolution(technician: Visitor) -> None:
    # IMO Resolution A.1117(30): tests/published/imo_numbers.json.
    examples = json.loads((PUBLISHED / "imo_numbers.json").read_text(encoding="utf-8"))["ship_examples"]
    for one in examples:
        said = "The check digit is right" if one["valid"] else "The check digit is wrong"
        assert said in ask(technician, "imo", number=f"IMO {one['n']}")


@pytest.mark.parametrize(
    ("calculator", "typed", "field", "said"),
    [
        ("limits", {"designation": "25 H7; 25 I7"}, "designation", "no tolerance class I"),
        ("limits", {"designation": " "}, "designation", "Type a designation"),
        ("limits", {"designation": "\n".join(["25 H7"] * 101)}, "designation", "at most 100"),
        ("fit", {"designation": "25 g6/H7"}, "designation", "not a hole and a shaft"),
        ("fit", {"designation": ""}, "designation", "Type a fit"),
        ("pins", {"designation": "25 g6"}, "designation", "Gauge pins try holes"),
        ("pins", {"designation": "0.85 H9", "wear": "25"}, "wear", "leaves nothing of the tolerance"),
        ("pins", {"designation": "0.85 H9", "wear": "2 bar"}, "wear", "does not measure the same thing"),
        ("pins", {"designation": "0.85 H9", "increment": "0"}, "increment", "give over zero"),
        ("conformity", {"value": "1.2.3", "expanded_uncertainty": "1", "lower": "1"}, "value", "in two ways"),
        ("conformity", {"value": "1", "expanded_uncertainty": "", "lower": "1"}, "expanded_uncertainty", "is empty"),
        ("conformity", {"value": "1", "expanded_uncertainty": "-1", "lower": "1"}, "expanded_uncertainty", "positive"),
        ("conformity", {"value": "1", "expanded_uncertainty": "1"}, "lower", "no limit to judge by"),
        ("conformity", {"value": "1", "expanded_uncertainty": "1", "lower": "2", "upper": "1"}, "lower", "above the"),
        ("conformity", {"value": "1", "expanded_uncertainty": "1", "lower": "1", "k": "0"}, "k", "usually 2"),
        ("conformity", {"value": "NaN", "expanded_uncertainty": "1", "lower": "1"}, "value", "not a number"),
        ("imo", {"number": "907472"}, "number", "seven digits"),
    ],
)
def test_what_has_no_answer_is_said_beside_its_field_and_nothing_typed_is_lost(
    technician: Visitor, calculator: str, typed: dict[str, str], field: str, said: str
) -> None:
    answer = technician.get(f"/calculators/{calculator}?{urlencode(typed)}")
    assert answer.status_code == 422
    error = answer.text.split(f'id="{field}-error"')[1].split("</p>")[0]
    assert said in error
    for text in typed.values():
        assert text in answer.text
    assert "Link to this calculation" not in answer.text


def test_signs_that_mean_something_in_markup_are_shown_as_they_were_typed(technician: Visitor) -> None:
    answer = technician.get("/calculators/limits?" + urlencode({"designation": "<b>25</b> H7"}))
    assert answer.status_code == 422
    assert "<b>25" not in answer.text
    assert "&lt;b&gt;25" in answer.text
