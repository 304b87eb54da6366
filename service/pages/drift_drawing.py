"""The opening pressure of one injector over its running hours: as left, as found, and what is expected next."""

from collections.abc import Sequence
from dataclasses import dataclass

from service.documents.drawing import TEXT_SIZE, drawing, element, line, words
from service.hydraulics.disc_search import PressureBand
from service.metrology.typed_numbers import grouped

_WIDTH, _HEIGHT = 520.0, 310.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 58.0, 462.0, 40.0, 226.0
_EXPECTED, _BAND = "6 5", "12 3 2 3"


@dataclass(frozen=True, slots=True)
class DriftMark:
    """One overhaul at its running hours; a pressure is None where none was measured."""

    hours: float
    as_found_bar: float | None
    as_left_bar: float | None


@dataclass(frozen=True, slots=True)
class DriftAhead:
    """What is expected at so many hours, with its interval, of an injector that was left (or will be) at `from_bar`."""

    hours: float
    from_bar: float
    bar: float
    lower_bar: float
    upper_bar: float


def drift_drawing(
    marks: Sequence[DriftMark], ahead: DriftAhead | None, band: PressureBand | None, described: str
) -> str:
    """The plot as SVG, oldest overhaul first. A full square is as left, an open circle as found; '' of fewer than two.

    In service the line is full, the setting at an overhaul dotted, what is expected dashed, the band's limits dash-dot.
    """
    if len(marks) < 2:
        return ""
    over = _Scale(marks, ahead, band)
    drawn = [*_band(band, over)] if band else []
    drawn += [*_axes(over), *_lines(marks, over), *(_ahead(marks[-1], ahead, over) if ahead else ())]
    for mark in marks:
        x = over.x(mark.hours)
        if mark.as_found_bar is not None:
            drawn.append(
                element(
                    "circle", cx=x, cy=over.y(mark.as_found_bar), r=6, fill="none", stroke="currentColor",
                    stroke_width=2.5,
                )
            )  # fmt: skip
        if mark.as_left_bar is not None:
            y = over.y(mark.as_left_bar)
            drawn.append(element("rect", x=x - 5.5, y=y - 5.5, width=11, height=11, fill="currentColor"))
    drawn.append(words(_LEFT - 50, _HEIGHT - 26, "Full square: as left. Open circle: as found."))
    if ahead:
        drawn.append(words(_LEFT - 50, _HEIGHT - 8, "Dashed: expected when due, with its 95 % interval."))
    return drawing("drift", _WIDTH, _HEIGHT, "Opening pressure over the running hours", described, drawn)


class _Scale:
    """From hours and bar to places in the drawing."""

    def __init__(self, marks: Sequence[DriftMark], ahead: DriftAhead | None, band: PressureBand | None) -> None:
        bars = [bar for mark in marks for bar in (mark.as_found_bar, mark.as_left_bar) if bar is not None]
        hours = [mark.hours for mark in marks]
        if ahead:
            bars += [ahead.from_bar, ahead.lower_bar, ahead.upper_bar]
            hours.append(ahead.hours)
        if band:
            bars += [float(band.lower_bar), float(band.upper_bar)]
        margin = max((max(bars) - min(bars)) * 0.08, 1.0)
        self.low, self.high = min(bars) - margin, max(bars) + margin
        self.first, self.last = min(hours), max(hours)

    def x(self, hours: float) -> float:
        """To the right with the hours."""
        return _LEFT + 10 + (_RIGHT - _LEFT - 20) * (hours - self.first) / max(self.last - self.first, 1.0)

    def y(self, bar: float) -> float:
        """Upwards with the pressure."""
        return _BOTTOM - (_BOTTOM - _TOP) * (bar - self.low) / (self.high - self.low)


def _band(band: PressureBand, over: _Scale) -> list[str]:
    drawn = []
    for limit in (band.upper_bar, band.lower_bar):
        y = over.y(float(limit))
        drawn += [line(_LEFT, y, _RIGHT, y, 1.5, _BAND), words(_RIGHT + 8, y + TEXT_SIZE / 3, "band")]
    return drawn


def _axes(over: _Scale) -> list[str]:
    marks = [line(_LEFT, _TOP, _LEFT, _BOTTOM), line(_LEFT, _BOTTOM, _RIGHT, _BOTTOM), words(4, 20, "bar")]
    step = next((step for step in (1, 2, 5, 10, 20, 50, 100, 200) if (over.high - over.low) / step <= 5), 500)
    bar = step * -(-over.low // step)
    while bar <= over.high:
        y = over.y(bar)
        marks += [line(_LEFT - 5, y, _LEFT, y), words(_LEFT - 8, y + TEXT_SIZE / 3, f"{bar:.0f}", "end")]
        bar += step
    ends = ((over.first, "start"), (over.last, "end"))
    marks += [words(over.x(hours), _BOTTOM + 22, f"{grouped(round(hours))} h", side) for hours, side in ends]
    return marks


def _lines(marks: Sequence[DriftMark], over: _Scale) -> list[str]:
    drawn = []
    before: DriftMark | None = None
    for mark in marks:
        x = over.x(mark.hours)
        if before is not None and before.as_left_bar is not None and mark.as_found_bar is not None:
            drawn.append(line(over.x(before.hours), over.y(before.as_left_bar), x, over.y(mark.as_found_bar), 2.5))
        if mark.as_found_bar is not None and mark.as_left_bar is not None:
            drawn.append(line(x, over.y(mark.as_found_bar), x, over.y(mark.as_left_bar), 1.5, "2 4"))
        before = mark
    return drawn


def _ahead(last: DriftMark, ahead: DriftAhead, over: _Scale) -> list[str]:
    x, top, bottom = over.x(ahead.hours), over.y(ahead.upper_bar), over.y(ahead.lower_bar)
    drawn = [line(x, top, x, bottom, 2), line(x - 7, top, x + 7, top, 2), line(x - 7, bottom, x + 7, bottom, 2)]
    drawn.append(line(over.x(last.hours), over.y(ahead.from_bar), x, over.y(ahead.bar), 2.5, _EXPECTED))
    return drawn
