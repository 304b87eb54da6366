"""The plot of a pressure trace: what it shows where, how small it stays, what it says to whoever does not see it."""

import re
from xml.etree import ElementTree

import numpy as np
import pytest

from service.documents.trace_plot import TracePlot, letter, trace_plot
from service.documents.trace_scale import BOTTOM, LEFT, RIGHT, TOP, marks
from service.documents.trace_stretches import Stretch
from service.hydraulics.trace.analysis import TraceAnalysis, analyse
from service.hydraulics.trace.reading import Trace
from tests.hydraulics.invented_traces import Bench, strokes

SVG = "{http://www.w3.org/2000/svg}"
TIMES, PRESSURES = strokes(Bench(seed=2)).made(0.003)


@pytest.fixture(scope="module")
def analysis() -> TraceAnalysis:
    """One hold and four openings."""
    return analyse(Trace(TIMES, PRESSURES, None, len(TIMES), 0))


def elements(plot: TracePlot, name: str) -> list[ElementTree.Element]:
    """All elements of one name; the drawing is well-formed or this fails."""
    return list(ElementTree.fromstring(plot.svg).iter(f"{SVG}{name}"))


def words(plot: TracePlot) -> list[str]:
    return [mark.text or "" for mark in elements(plot, "text")]


def lines_of(plot: TracePlot, width: str) -> list[list[tuple[float, float]]]:
    """The places of each path of that width."""
    drawn = [one.get("d", "") for one in elements(plot, "path") if one.get("stroke-width") == width]
    return [[(float(x), float(y)) for x, y in re.findall(r"(-?[\d.]+),(-?[\d.]+)", one)] for one in drawn]


def read_off(plot: TracePlot, axis: str) -> tuple[float, float]:
    """Factor and offset from the drawing to an axis, from its own marks."""
    texts = [one for one in elements(plot, "text") if re.fullmatch(r"-?[\d.]+", one.text or "")]
    if axis == "time":
        pairs = [(float(one.get("x", 0)), float(one.text or 0)) for one in texts if one.get("y") == f"{BOTTOM + 24:g}"]
    else:
        pairs = [(float(one.get("y", 0)) - 6, float(one.text or 0)) for one in texts if one.get("text-anchor") == "end"]
    assert len(pairs) >= 3
    slope, offset = np.polyfit(*zip(*pairs, strict=True), 1)
    return float(slope), float(offset)


def test_openings_stand_where_the_axes_say(analysis: TraceAnalysis) -> None:
    plot = trace_plot(analysis)
    (a, b), (c, d) = read_off(plot, "time"), read_off(plot, "pressure")
    tips = re.findall(r'd="M([\d.]+),([\d.]+)l-5,-9h10Z"', plot.svg)[: len(analysis.openings)]
    found = [(a * float(x) + b, c * float(y) + d) for x, y in tips]
    for (t, bar), opening in zip(found, analysis.openings, strict=True):
        assert (t, bar) == (pytest.approx(opening.t_s, abs=0.05), pytest.approx(opening.opening_bar, abs=0.5))
    assert {"1", "2", "3", "4", "A"} <= set(words(plot))


def test_the_line_of_a_hold_has_the_slope_that_was_found(analysis: TraceAnalysis) -> None:
    plot = trace_plot(analysis)
    (a, _), (c, _) = read_off(plot, "time"), read_off(plot, "pressure")
    ((x1, y1), (x2, y2)) = lines_of(plot, "3.2")[0]
    assert -60 * c * (y2 - y1) / (a * (x2 - x1)) == pytest.approx(analysis.holds[0].rate_bar_per_min, rel=0.02)


def test_no_peak_is_lost_in_thinning_and_the_drawing_stays_small() -> None:
    bench = Bench(rate_hz=20_000, seed=3)
    for _ in range(2):
        strokes(bench)
    times, pressures = bench.made(0.002)
    assert len(times) > 1_500_000
    plot = trace_plot(analyse(Trace(times, pressures, None, len(times), 0)))
    c, d = read_off(plot, "pressure")
    (drawn,) = lines_of(plot, "1.3")
    assert len(plot.svg) < 60_000
    assert len(drawn) <= 2 * 514
    assert min(c * y + d for _, y in drawn) == pytest.approx(pressures.min(), abs=0.3)
    assert max(c * y + d for _, y in drawn) == pytest.approx(pressures.max(), abs=0.3)


def test_a_window_shows_its_part_and_stays_in_the_field(analysis: TraceAnalysis) -> None:
    opening = analysis.openings[1]
    plot = trace_plot(analysis, window_s=(opening.t_s - 0.3, opening.t_s + 0.3))
    assert re.findall(r"l-5,-9h10Z", plot.svg)[:2] == ["l-5,-9h10Z"] * 2  # the opening and the legend
    assert "2" in words(plot)
    assert "A" not in words(plot)
    for x, y in lines_of(plot, "1.3")[0]:
        assert LEFT <= x <= RIGHT
        assert TOP - 1 <= y <= BOTTOM + 1
    whole = trace_plot(analysis)
    for nothing in ((900.0, 950.0), (5.0, 5.0), (7.0, 3.0)):
        assert trace_plot(analysis, window_s=nothing).svg == whole.svg


def test_the_line_runs_up_to_both_borders_of_a_window_and_only_readings_are_read_off(analysis: TraceAnalysis) -> None:
    start, end = 10.0204, 10.0246  # readings stand at each thousandth of a second
    plot = trace_plot(analysis, window_s=(start, end))
    paths = [one for one in elements(plot, "path") if one.get("stroke-width") == "1.3"]
    readings, first, last = (re.findall(r"([\d.]+),([\d.]+)", one.get("d", "")) for one in paths)
    assert [one.get("class") for one in paths] == ["readings", None, None]
    assert (float(first[0][0]), float(last[-1][0])) == (LEFT, RIGHT)
    assert (first[-1], last[0]) == (readings[0], readings[-1])
    scale, place = plot.scale, int(np.searchsorted(analysis.trace.t_s, start))
    for (x, y), t, bar in zip(readings, analysis.trace.t_s[place:], analysis.trace.pressure_bar[place:], strict=False):
        assert start + (float(x) - LEFT) / (RIGHT - LEFT) * (end - start) == pytest.approx(t, abs=1e-6)
        span = scale.high_bar - scale.low_bar
        assert scale.low_bar + (BOTTOM - float(y)) / (BOTTOM - TOP) * span == pytest.approx(bar, abs=span * 1e-4)
    assert len(readings) == 4
    between = trace_plot(analysis, window_s=(10.0202, 10.0208))
    ((one, other),) = lines_of(between, "1.3")
    assert (one[0], other[0]) == (LEFT, RIGHT)


def test_stretches_stay_within_the_trace_and_offer_no_step_that_changes_nothing() -> None:
    whole, end = Stretch(0, 60), Stretch(50, 60)
    assert end.stepped(whole, by=0.5) is None
    assert end.stepped(whole, by=-0.5) == Stretch(45, 55)
    assert end.stepped(whole, times=2) == Stretch(40, 60)
    assert Stretch(10, 50).stepped(whole, times=2) == whole
    assert whole.stepped(whole, times=2) is None
    assert Stretch(1, 1 + 5e-5).stepped(whole, times=0.5) is None


def test_limits_are_drawn_across_and_named(analysis: TraceAnalysis) -> None:
    plot = trace_plot(analysis, limits_bar=(290.0, 310.0))
    c, d = read_off(plot, "pressure")
    across = [one for one in elements(plot, "line") if one.get("stroke-dasharray") == "14 3 2 3 2 3"]
    assert [c * float(one.get("y1", 0)) + d for one in across[:2]] == pytest.approx([290, 310], abs=0.5)
    assert "Limit of the opening pressure" in words(plot)
    assert "Limit of the opening pressure" not in words(trace_plot(analysis))


def test_rejected_events_stay_to_be_seen_in_brackets(analysis: TraceAnalysis) -> None:
    plot = trace_plot(analysis, rejected=(analysis.openings[1], analysis.holds[0]))
    shown = words(plot)
    assert {"1", "(2)", "3", "4", "(A)"} <= set(shown)
    assert not {"2", "A"} & set(shown)
    hollow = [one for one in elements(plot, "path") if one.get("fill") == "none" and "h10Z" in one.get("d", "")]
    assert len(hollow) == 1
    assert plot.description.count(", rejected.") == 2


def test_a_gap_is_left_open() -> None:
    times = np.where(TIMES > 14, TIMES + 60, TIMES)
    plot = trace_plot(analyse(Trace(times, PRESSURES, None, len(times), 0)))
    assert len(lines_of(plot, "1.3")) == 2


def test_the_plot_is_told_in_words(analysis: TraceAnalysis) -> None:
    plot = trace_plot(analysis)
    opening = analysis.openings[0]
    assert f"Opening 1 at {opening.t_s:.3f} s: {opening.opening_bar:.1f} bar" in plot.description
    assert "Hold A from" in plot.description
    assert plot.description in "".join(ElementTree.fromstring(plot.svg).itertext())
    times, pressures = Bench(rate_hz=100).rest(1).pump(200, 3).relieve().made(0.002)
    bare = trace_plot(analyse(Trace(times, pressures, None, len(times), 0)))
    assert "No opening was found. No hold was found." in bare.description


def test_axes_are_marked_by_round_numbers_and_holds_by_letters() -> None:
    assert marks(0, 322, 6) == (0, 100, 200, 300)
    assert marks(4.2, 4.9, 7) == pytest.approx((4.2, 4.3, 4.4, 4.5, 4.6, 4.7, 4.8, 4.9))
    assert [letter(0), letter(25), letter(26)] == ["A", "Z", "A2"]
