"""Measuring a hole in a photograph: asked with a scale, drawn over it, accepted or rejected, shown beside the gauge."""

from urllib.parse import urlencode

import pytest

from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import PART, Visitor, form_of, has_form, words_of
from tests.pages.test_photographs import send
from tests.photographs_taken import of_a_hole, plain

PITCH = {"hole": "3", "scale_by": "pitch", "um_per_pixel": "5,7", "expanded_uncertainty": "0.02"}
BAR = {
    "hole": "3",
    "scale_by": "bar",
    "length_um": "1.14 mm",
    "length_uncertainty_um": "1",
    "start_px": "20; 10",
    "end_px": "220 10",
}


@pytest.fixture
def place(technician: Visitor, injector: Injector) -> str:
    """A photograph of a hole on the screen where the holes are examined; gives its address."""
    injector.examined()
    assert send(technician, f"{injector.address}/examination/nozzle-holes", of_a_hole()).status_code == 303
    return f"{injector.address}/photographs/1"


def asked(place: str, fields: dict[str, str]) -> str:
    """The address that the form asks at."""
    return f"{place}/hole-image?{urlencode(fields)}"


@pytest.mark.parametrize("fields", [PITCH, BAR], ids=["pitch", "bar"])
def test_what_the_photograph_shows_is_drawn_over_it_with_its_figures(
    technician: Visitor, place: str, fields: dict[str, str]
) -> None:
    assert f"{place}/hole-image" in technician.get(place).text
    answer = technician.get(asked(place, fields))
    words = words_of(answer)
    assert answer.status_code == 200
    assert "Hole 3 as it was found" in words
    assert "Mean diameter 0.85" in words
    assert "Roundness deviation" in words
    assert "k = 2.00" in words
    assert f'<image href="{place}/pictures/shown"' in answer.text
    assert "<ellipse" in answer.text
    assert " style=" not in answer.text


def test_the_part_that_is_swapped_is_the_same_markup(technician: Visitor, place: str) -> None:
    whole = technician.get(asked(place, PITCH))
    part = technician.client.get(asked(place, PITCH), headers=PART)
    assert whole.headers["vary"] == part.headers["vary"] == "HX-Request, HX-Request-Type"
    assert part.text.lstrip().startswith('<div id="hole-image">')
    key = form_of(whole, "/hole-evaluations").fields["form_key"][0]
    other = form_of(part, "/hole-evaluations").fields["form_key"][0]
    assert part.text.replace(other, key).strip() in whole.text


def test_an_accepted_hole_stands_beside_the_gauge(technician: Visitor, injector: Injector, place: str) -> None:
    before = len(injector.record.entries)
    form = form_of(technician.get(asked(place, PITCH)), "/hole-evaluations")
    answer = technician.send(form, decision="accept")
    assert answer.headers["location"] == f"{injector.address}/examination/nozzle-holes#photographs"
    assert technician.send(form, decision="accept").status_code == 303, "sent twice, kept once"
    screen = words_of(technician.get(f"{injector.address}/examination/nozzle-holes"))
    assert "Measured in photographs" in screen
    assert screen.count("Hole 3 0.85") == 1
    assert "beside the gauge" in screen
    assert "Hole 3: accepted" in words_of(technician.get(place))
    assert len(injector.record.entries) == before
    again = technician.get(f"{place}/hole-image")
    assert 'value="5.7"' in again.text, "the scale of the last time is filled in"


def test_a_rejection_without_a_reason_comes_back_with_the_finding(technician: Visitor, place: str) -> None:
    form = form_of(technician.get(asked(place, PITCH)), "/hole-evaluations")
    refused = technician.send(form, decision="reject")
    assert refused.status_code == 422
    assert "Say why it is rejected." in words_of(refused)
    mended = technician.send(form_of(refused, "/hole-evaluations"), decision="reject", reason="Soot at the rim.")
    assert mended.status_code == 303
    page = words_of(technician.get(place))
    assert "Hole 3: rejected" in page
    assert "Soot at the rim." in page


def test_a_finding_that_was_not_shown_is_not_kept(technician: Visitor, place: str) -> None:
    form = form_of(technician.get(asked(place, PITCH)), "/hole-evaluations")
    refused = technician.send(form, decision="accept", um_per_pixel="5.9")
    assert refused.status_code == 409
    assert "Something else is found" in words_of(refused)
    assert "Hole 3: accepted" not in words_of(technician.get(place))


@pytest.mark.parametrize(
    ("changes", "said", "field"),
    [
        ({"um_per_pixel": "0"}, "has no meaning", "um_per_pixel"),
        ({"um_per_pixel": ""}, "is empty", "um_per_pixel"),
        ({"hole": "9"}, "holes 1 to 4", "hole"),
        ({"hole": ""}, "Choose the hole", "hole"),
        ({"scale_by": ""}, "Say how the scale is known", "scale_by"),
        ({**BAR, "length_um": "0"}, "has no meaning", "length_um"),
        ({**BAR, "end_px": "220"}, "Give x and y", "end_px"),
        ({**BAR, "end_px": "30; 10"}, "mark a bar of at least", "end_px"),
    ],
)
def test_a_scale_that_cannot_be_is_told_at_its_field(
    technician: Visitor, place: str, changes: dict[str, str], said: str, field: str
) -> None:
    refused = technician.get(asked(place, PITCH | changes))
    assert refused.status_code == 422
    assert said in words_of(refused)
    assert f'id="{field}-error"' in refused.text
    assert not has_form(refused, "/hole-evaluations")


def test_a_photograph_with_no_hole_in_it_says_so(technician: Visitor, injector: Injector, place: str) -> None:
    send(technician, f"{injector.address}/examination/nozzle-holes", plain())
    refused = technician.get(asked(f"{injector.address}/photographs/2", PITCH))
    assert refused.status_code == 422
    assert not has_form(refused, "/hole-evaluations")


def test_only_the_bench_measures_and_only_photographs_of_holes(
    technician: Visitor, office: Visitor, injector: Injector, place: str
) -> None:
    assert office.get(asked(place, PITCH)).status_code == 403
    send(technician, injector.address, plain())
    assert technician.get(f"{injector.address}/photographs/2/hole-image").status_code == 404
    assert "/hole-image" not in technician.get(f"{injector.address}/photographs/2").text
