"""The drawing of what was found over the photograph."""

from functools import cache
from xml.etree import ElementTree

import numpy as np
import pytest

from seed_demo.rendered_hole import Hole, Photograph, photograph
from service.documents.hole_overlay import data_uri, hole_overlay_svg, in_words
from service.metrology.hole_image.evaluation import evaluate_hole
from service.metrology.hole_image.findings import HoleEvaluation
from service.metrology.hole_image.scale import Scale

SVG = "{http://www.w3.org/2000/svg}"
HOLE = Hole(150.3, 129.6, 153, 147, 30)


@cache
def found() -> HoleEvaluation:
    shot = Photograph(300, 260, blur=1.5, noise=0.01, scratches=((20, 40, 290, 215, 0.05),))
    return evaluate_hole(photograph(HOLE, shot), Scale(2.0, 0.01))


def drawn(title: str = "Hole 3", href: str = "/pictures/7", *, whole_picture: bool = False) -> ElementTree.Element:
    return ElementTree.fromstring(hole_overlay_svg(found(), href, 300, 260, title, whole_picture=whole_picture))


def test_the_ellipse_and_the_circle_lie_on_the_hole_that_was_drawn() -> None:
    ellipses, circles = drawn().findall(f".//{SVG}ellipse"), drawn().findall(f".//{SVG}circle")
    assert ellipses
    assert circles
    for ellipse in ellipses:
        assert float(ellipse.attrib["rx"]) == pytest.approx(HOLE.major / 2, abs=0.2)
        assert float(ellipse.attrib["ry"]) == pytest.approx(HOLE.minor / 2, abs=0.2)
    for circle in circles:
        assert float(circle.attrib["cx"]) == pytest.approx(HOLE.x, abs=0.2)
        assert float(circle.attrib["r"]) == pytest.approx(HOLE.mean_diameter / 2, abs=0.1)
    turns = [group.attrib["transform"] for group in drawn().findall(f"{SVG}g")]
    assert all(turn.startswith("rotate(") and abs(float(turn[7:].split()[0]) - HOLE.angle) < 1 for turn in turns)


def test_the_picture_begins_half_a_pixel_before_the_centre_of_its_first_pixel() -> None:
    image = drawn().find(f"{SVG}image")
    assert image is not None
    assert [image.attrib[name] for name in ("x", "y", "width", "height", "href")] == [
        "-0.5", "-0.5", "300", "260", "/pictures/7",
    ]  # fmt: skip


def test_the_view_shows_the_whole_hole_and_on_demand_the_whole_picture() -> None:
    left, top, width, _ = (float(number) for number in drawn().attrib["viewBox"].split())
    assert left < HOLE.x - HOLE.major / 2 < HOLE.x + HOLE.major / 2 < left + width
    assert top < HOLE.y - HOLE.major / 2
    assert drawn(whole_picture=True).attrib["viewBox"].startswith("-0.50 -0.50 300.00 ")


def test_each_mark_is_told_by_its_shape_and_named_in_the_legend() -> None:
    words = [text.text for text in drawn().findall(f"{SVG}text")]
    assert len(words) == 4
    assert any("stroke-dasharray" in circle.attrib for circle in drawn().findall(f"{SVG}circle"))
    ways = [path.attrib["d"] for path in drawn().findall(f"{SVG}path")]
    assert any(way.count("h0") > 50 for way in ways)
    assert any(way.count("l") >= 2 * len(found().rejected_px) > 0 for way in ways)


def test_the_drawing_can_be_read_aloud_and_says_the_uncertainty() -> None:
    title, description = drawn().find(f"{SVG}title"), drawn().find(f"{SVG}desc")
    assert title is not None
    assert title.text == "Hole 3"
    assert description is not None
    assert description.text == in_words(found())
    assert f"{found().mean_diameter.value_um:.1f} µm ± {found().mean_diameter.expanded_um:.1f} µm" in in_words(found())
    assert drawn().attrib["role"] == "img"


def test_people_s_words_and_addresses_cannot_break_out_of_the_drawing() -> None:
    hostile = '"><script>alert(1)</script>'
    drawing = drawn(title=hostile, href=hostile)
    title, image = drawing.find(f"{SVG}title"), drawing.find(f"{SVG}image")
    assert title is not None
    assert title.text == hostile
    assert image is not None
    assert image.attrib["href"] == hostile
    assert drawing.find(f".//{SVG}script") is None


def test_no_style_is_inline_so_that_the_content_policy_holds() -> None:
    assert not any("style" in element.attrib for element in drawn().iter())
    assert drawn().find(f".//{SVG}style") is None


def test_a_picture_can_be_held_in_the_drawing_itself() -> None:
    assert data_uri(bytes([1, 2, 3]), "image/jpeg") == "data:image/jpeg;base64,AQID"
    assert np.isfinite(found().mean_diameter.expanded_um)


def test_the_legend_is_read_on_a_telephone_and_no_line_of_it_runs_out_of_the_drawing() -> None:
    for whole_picture in (False, True):
        svg = drawn(whole_picture=whole_picture)
        left, _, width, _ = (float(number) for number in svg.attrib["viewBox"].split())
        for text in svg.findall(f"{SVG}text"):
            letter = float(text.attrib["font-size"])
            assert letter / width * 350 >= 13.9, "pixels high on a telephone that shows it 350 pixels wide"
            # A letter of a sans serif type is about 0.55 of its height wide on average (measured on this text).
            end = float(text.attrib["x"]) + 0.55 * letter * len(text.text or "")
            assert end < left + width
