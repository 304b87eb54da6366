"""The polar plot of a section: what it shows, at what scale, and what it says to whoever does not see it."""

import math
import re
import time
from xml.etree import ElementTree

import numpy as np
import pytest

from service.documents.polar_lines import LIMIT_DASHES, Reference
from service.documents.polar_plot import PolarPlot, polar_plot
from service.documents.polar_scale import BASE, MIDDLE, REACH, in_um, polar_scale
from service.metrology.measured_points import Floats
from service.metrology.roundness import roundness

SVG = "{http://www.w3.org/2000/svg}"
PROFILE = "2.4"


def section(
    radius_mm: float, form_mm: float, count: int = 144, lobes: int = 3, at: tuple[float, float] = (0, 0)
) -> Floats:
    """A section of that many lobes; `form_mm` is the amplitude, so that its radii differ by twice that."""
    turns = np.arange(count) * (math.tau / count)
    radii = radius_mm + form_mm * np.cos(lobes * turns)
    return np.asarray(np.column_stack((at[0] + radii * np.cos(turns), at[1] + radii * np.sin(turns))))


def plotted(points: Floats, **how: object) -> PolarPlot:
    """The plot of the points."""
    return polar_plot(points, roundness(points), **how)  # type: ignore[arg-type]


def marks(plot: PolarPlot, name: str) -> list[ElementTree.Element]:
    """All elements of one name; the drawing is well-formed or this fails."""
    return list(ElementTree.fromstring(plot.svg).iter(f"{SVG}{name}"))


def words(plot: PolarPlot) -> list[str]:
    """Every text in the drawing."""
    return [mark.text or "" for mark in marks(plot, "text")]


def radii_of(path: ElementTree.Element) -> Floats:
    """How far each place of a line lies from the middle of the plot."""
    places = np.array(
        [[float(one) for one in pair.split(",")] for pair in re.findall(r"[\d.]+,[\d.]+", path.get("d", ""))]
    )
    return np.asarray(np.hypot(places[:, 0] - MIDDLE, places[:, 1] - MIDDLE))


def profile(plot: PolarPlot) -> Floats:
    """The drawn radii of the profile."""
    return np.concatenate([radii_of(path) for path in marks(plot, "path") if path.get("stroke-width") == PROFILE])


def bar(plot: PolarPlot) -> tuple[float, float]:
    """The scale bar: its length as drawn, and what it stands for in µm."""
    told = next(text for text in words(plot) if "along the radius" in text)
    drawn = [line for line in marks(plot, "line") if line.get("x1") == "10" and line.get("stroke-width") == "2"]
    length = max(float(line.get("x2", 0)) - float(line.get("x1", 0)) for line in drawn)
    return length, float(told.split()[1])


@pytest.mark.parametrize("radius_mm", [0.425, 12.5, 250.0])
@pytest.mark.parametrize("form_mm", [0.0002, 0.003, 0.05])
def test_the_profile_measured_with_the_scale_bar_gives_its_deviation(radius_mm: float, form_mm: float) -> None:
    plot = plotted(section(radius_mm, form_mm))
    length, micrometres = bar(plot)
    assert np.ptp(profile(plot)) / length * micrometres == pytest.approx(2000 * form_mm, rel=0.02)


def test_the_magnification_stated_is_the_one_drawn() -> None:
    plot = plotted(section(12.5, 0.003))
    drawn = profile(plot)
    assert np.ptp(drawn) / 0.006 / (drawn.mean() / 12.5) == pytest.approx(plot.magnification, rel=0.02)
    assert f"Magnified {plot.magnification:,.0f} times against the radius" in words(plot)


def test_the_scale_is_one_two_or_five_of_a_power_of_ten_and_fills_the_room() -> None:
    for half in np.geomspace(1e-5, 5.0, 60):
        scale = polar_scale(12.5 - half, 12.5 + half)
        assert f"{scale.magnification:.0e}"[0] in "125"
        assert 0.39 * REACH < scale.gain * half <= REACH * 1.001
        assert f"{scale.bar_um:.0e}"[0] in "125"
        assert 70 / 2.51 < scale.bar_drawn <= 70.1


def test_a_section_a_metre_from_the_origin_is_drawn_as_the_same_one_at_the_origin() -> None:
    here, there = plotted(section(12.5, 0.003)), plotted(section(12.5, 0.003, at=(1000.0, -700.0)))
    assert here.magnification == there.magnification
    assert profile(there) == pytest.approx(profile(here), abs=0.02)


def test_the_circles_of_the_minimum_zone_touch_the_profile_from_both_sides() -> None:
    plot = plotted(section(12.5, 0.003, lobes=5), shown=())
    inner, outer = sorted(
        (radii_of(path) for path in marks(plot, "path") if path.get("stroke-width") == "1.1"), key=np.mean
    )
    assert inner.max() == pytest.approx(profile(plot).min(), abs=0.1)
    assert outer.min() == pytest.approx(profile(plot).max(), abs=0.1)


def test_each_circle_has_dashes_and_letters_of_its_own_and_no_colour() -> None:
    plot = plotted(section(12.5, 0.003), shown=tuple(Reference), limit_mm=0.008)
    assert {"MZ", "LS", "MC", "MI", "limit"} <= set(words(plot))
    dashes = {path.get("stroke-dasharray") for path in marks(plot, "path")}
    assert dashes == {None, "9 4", "2 4", "11 3 2 3", LIMIT_DASHES}
    assert len({(one.dashes, one.short) for one in Reference}) == len(Reference)
    colours = set(re.findall(r'(?:stroke|fill)="([^"]+)"', plot.svg))
    assert colours == {"currentColor", "none"}


def test_a_circle_that_was_not_asked_for_is_not_drawn() -> None:
    plot = plotted(section(12.5, 0.003), about=Reference.LEAST_SQUARES, shown=())
    assert "LS" in words(plot)
    assert not {"MZ", "MC", "MI", "limit"} & set(words(plot))


def test_the_two_circles_of_the_limit_lie_the_limit_apart() -> None:
    plot = plotted(section(12.5, 0.003), limit_mm=0.009)
    rings = [radii_of(path).mean() for path in marks(plot, "path") if path.get("stroke-dasharray") == LIMIT_DASHES]
    length, micrometres = bar(plot)
    assert (max(rings) - min(rings)) / length * micrometres == pytest.approx(9, rel=0.02)


def test_the_plot_says_in_words_what_it_shows() -> None:
    points = section(12.5, 0.003, lobes=2)
    plot = plotted(points, limit_mm=0.008)
    root = ElementTree.fromstring(plot.svg)
    assert root.get("role") == "img"
    assert root.get("aria-labelledby") == "polar-title polar-description"
    assert plot.description == next(iter(marks(plot, "desc"))).text
    assert "Profile of 144 points about the centre of the minimum zone circle" in plot.description
    assert "6 µm between them" in plot.description
    assert "Limit of the deviation: 8 µm." in plot.description
    assert re.search(r"Farthest out at (0|180)°, farthest in at (90|270)°", plot.description)


def test_few_points_are_drawn_as_dots_and_many_as_a_line() -> None:
    few, many = plotted(section(12.5, 0.003, 8)), plotted(section(12.5, 0.003, 500))
    assert len([mark for mark in marks(few, "circle") if mark.get("r") == "2.6"]) == 8
    assert not marks(many, "circle")


def test_an_arc_is_left_open_and_its_far_circles_are_not_drawn() -> None:
    plot = plotted(section(12.5, 0.003, 360)[:120], shown=tuple(Reference))
    lines = [path for path in marks(plot, "path") if path.get("stroke-width") == PROFILE]
    assert [path.get("d", "")[-1] == "Z" for path in lines] == [False]
    assert plot.magnification >= 100
    assert not {"MC", "MI"} & set(words(plot))


def test_no_peak_of_a_hundred_thousand_points_is_lost_and_it_is_fast() -> None:
    points = section(0.425, 0.0005, 100_000)
    points[77_777] *= 1.002
    found = roundness(points)
    started = time.perf_counter()
    plot = polar_plot(points, found)
    assert time.perf_counter() - started < 0.5
    assert len(plot.svg) < 60_000
    length, micrometres = bar(plot)
    assert np.ptp(profile(plot)) / length * micrometres == pytest.approx(
        1000 * found.minimum_zone.deviation_mm, rel=0.02
    )


def test_a_perfect_circle_is_drawn_as_one() -> None:
    turns = np.arange(24) * (math.tau / 24)
    plot = plotted(np.column_stack((np.cos(turns), np.sin(turns))))
    assert profile(plot) == pytest.approx(np.full(24, BASE), abs=1)


def test_everything_drawn_stays_within_the_drawing() -> None:
    plot = plotted(section(12.5, 0.003, lobes=2), shown=tuple(Reference), limit_mm=0.004)
    _, _, width, height = (float(one) for one in ElementTree.fromstring(plot.svg).get("viewBox", "").split())
    for path in marks(plot, "path"):
        assert radii_of(path).max() <= BASE + REACH + 1
    for text in marks(plot, "text"):
        reach = 9.2 * len(text.text or "")  # as broad as a bold letter of this size at most, from memory
        start = {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor", "start")]
        left = float(text.get("x", 0)) - start * reach
        assert left > -4, text.text
        assert left + reach < width + 4, text.text
        assert 0 < float(text.get("y", 0)) < height


def test_a_title_with_signs_of_markup_is_escaped() -> None:
    plot = plotted(section(12.5, 0.003), title='<script>"&')
    assert next(iter(marks(plot, "title"))).text == '<script>"&'


def test_micrometres_are_written_without_an_exponent() -> None:
    assert [in_um(mm) for mm in (0.0, 1e-9, 0.0012345, 0.05, 12.3456)] == ["0", "0.000001", "1.234", "50", "12350"]
