"""The pins tried in one hole as a drawing: each in the hole or above it, in words as well, contradictions framed.

A pin that entered stands in its hole and reaches under the surface, one that did not stands on it; what was recorded
is told by shape and word, a contradiction by a heavy frame, a cross and a word, never by a colour.
"""

from service.documents.drawing import drawing, element, line, words
from service.metrology.typed_numbers import plain
from service.workshop.examination.pins_tried import HoleRecorded

_STEP, _EDGE = 112, 8
_SURFACE, _DEPTH, _HEIGHT = 92, 48, 206
_PIN_WIDTH, _PIN_HEIGHT = 22, 62


def pin_row(recorded: HoleRecorded, drawing_id: str) -> str:
    """One hole's pins from the smallest to the largest as SVG; `drawing_id` is its own on a page."""
    marks, told = [], []
    for place, one in enumerate(recorded.passes):
        left = _EDGE + place * _STEP
        middle = left + _STEP / 2
        marks += _hole(left, middle)
        top = _SURFACE - 18 if one.enters else _SURFACE - _PIN_HEIGHT
        marks.append(_pin(middle, top, filled=one.enters))
        answer = "enters" if one.enters else "does not"
        marks.append(words(middle, 18, f"{plain(one.pin.marked_mm)} mm", "middle", True))
        marks.append(words(middle, _SURFACE + _DEPTH + 22, answer, "middle"))
        if one.contradicts:
            marks += _contradiction(left, middle)
        told.append(f"{plain(one.pin.marked_mm)} mm {answer}{', contradicts' if one.contradicts else ''}")
    width = 2 * _EDGE + _STEP * len(recorded.passes)
    title = f"Hole {recorded.hole} as it was recorded"
    return drawing(drawing_id, width, _HEIGHT, title, f"{'; '.join(told)}.", marks)


def _hole(left: float, middle: float) -> list[str]:
    """The surface to both sides, and the hole's walls."""
    wall = _PIN_WIDTH / 2 + 4
    bottom = _SURFACE + _DEPTH
    return [
        line(left + 6, _SURFACE, middle - wall, _SURFACE, 2),
        line(middle + wall, _SURFACE, left + _STEP - 6, _SURFACE, 2),
        line(middle - wall, _SURFACE, middle - wall, bottom, 2),
        line(middle + wall, _SURFACE, middle + wall, bottom, 2),
    ]


def _pin(middle: float, top: float, *, filled: bool) -> str:
    return element(
        "rect", x=middle - _PIN_WIDTH / 2, y=top, width=_PIN_WIDTH, height=_PIN_HEIGHT, rx=3,
        fill="currentColor" if filled else "none", stroke="currentColor", stroke_width=2.5,
    )  # fmt: skip


def _contradiction(left: float, middle: float) -> list[str]:
    frame = element(
        "rect", x=left + 2, y=2, width=_STEP - 4, height=_HEIGHT - 4, rx=6, fill="none", stroke="currentColor",
        stroke_width=4,
    )  # fmt: skip
    y = _SURFACE + _DEPTH + 46
    cross = (line(left + 9, y - 11, left + 19, y - 1, 3), line(left + 19, y - 11, left + 9, y - 1, 3))
    return [frame, *cross, words(middle + 6, y, "contradicts", "middle", True, 15)]
