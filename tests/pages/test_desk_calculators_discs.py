"""The desk calculators of the opening pressure: what they say, and what they refuse beside its field."""

import pytest

from tests.pages.forms_on_page import Visitor, words_of
from tests.pages.sheet_editor import error_at
from tests.pages.test_desk_calculators import ASKED, ask


def test_a_spring_gives_its_pressures_and_what_a_disc_changes(technician: Visitor) -> None:
    # 150 N/mm over 7 mm is 1050 N on the 34.36 mm² between 8 and 4.5 mm.
    words = ask(technician, "opening-pressure", **ASKED["opening-pressure"])
    assert "Opens at 305.58 bar" in words
    assert "Closing pressure 208.89 bar" in words
    assert "One millimetre of disc 43.65 bar" in words
    assert "Force of the spring 1050 N" in words


def test_the_slope_goes_on_to_the_discs(technician: Visitor) -> None:
    page = technician.get("/calculators/discs?now=305.58&bar_per_mm=43.65")
    assert page.status_code == 200
    assert 'value="43.65"' in page.text
    assert "data-answer" not in page.text


def test_the_fewest_discs_are_told_with_every_tie(technician: Visitor) -> None:
    words = ask(technician, "discs", **(ASKED["discs"] | {"tolerance": "10"}))
    assert "One set brings it into the band with the fewest changes: one disc." in words
    assert "0.2 mm no disc 344" in words
    assert "replace the spring" in ask(technician, "discs", **(ASKED["discs"] | {"now": "20 MPa"}))


def test_a_disc_that_was_added_may_come_out(technician: Visitor) -> None:
    words = ask(technician, "discs", **(ASKED["discs"] | {"now": "380", "fitted": "0.20; 0,05"}))
    assert "no disc 0.2 mm and 0.05 mm 350" in words


@pytest.mark.parametrize(
    ("calculator", "typed", "field"),
    [
        ("opening-pressure", {"seat": "9"}, "seat"),
        ("opening-pressure", {"rate": "stiff"}, "rate"),
        ("opening-pressure", {"guide": "9 m"}, "guide"),
        ("opening-pressure", {"preload": ""}, "preload"),
        ("discs", {"tolerance": "-1"}, "tolerance"),
        ("discs", {"stock": "0.05, thin"}, "stock"),
        ("discs", {"fitted": "40"}, "fitted"),
        ("discs", {"now": "0"}, "now"),
        ("discs", {"bar_per_mm": "0"}, "bar_per_mm"),
        ("discs", {"max": "99"}, "max"),
        ("discs", {"max": "many"}, "max"),
    ],
)
def test_what_has_no_answer_is_refused_beside_its_field(
    technician: Visitor, calculator: str, typed: dict[str, str], field: str
) -> None:
    asked = ASKED[calculator] | typed
    answer = technician.get(f"/calculators/{calculator}?" + "&".join(f"{key}={value}" for key, value in asked.items()))
    assert answer.status_code == 422
    assert error_at(answer, field), words_of(answer)
