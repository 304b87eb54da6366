"""The spray holes of a nozzle as they are drawn on a document: numbered, each patterned and lettered by its verdict.

The page draws the same in `templates/_controls/nozzle.html`, with the same places, patterns and letters.
"""

import math
from collections.abc import Sequence

from service.documents.drawing import BARRED, CROSSED, TEXT_SIZE, drawing, element, words
from service.workshop.vocabulary import VerdictKind

MIDDLE, PITCH_RADIUS = 160, 108
_WIDTH, _BODY, _INNER = 320, 154, 34
_OUTER, _FACE = 26, 20
_LINE = 30
LETTERS = {
    VerdictKind.CONFORMS: "C",
    VerdictKind.NOT_PROVEN: "P",
    VerdictKind.DOES_NOT_CONFORM: "X",
    VerdictKind.NOT_MEASURED: "O",
}
_PATTERN = {VerdictKind.NOT_PROVEN: BARRED, VerdictKind.DOES_NOT_CONFORM: CROSSED}


def place_of(number: int, count: int) -> tuple[float, float]:
    """Where a hole stands in the drawing: hole 1 on top, the others clockwise, evenly."""
    turn = 2 * math.pi * (number - 1) / count
    return round(MIDDLE + PITCH_RADIUS * math.sin(turn), 1), round(MIDDLE - PITCH_RADIUS * math.cos(turn), 1)


def nozzle_drawing(verdicts: Sequence[VerdictKind], title: str, drawing_id: str = "nozzle") -> str:
    """The holes in their order as SVG, with a key of the verdicts that occur and a text that says each hole's."""
    count = len(verdicts)
    told = [f"Hole {number}: {verdict.label.lower()}." for number, verdict in enumerate(verdicts, start=1)]
    marks = [_circle(MIDDLE, MIDDLE, _BODY, 2), _circle(MIDDLE, MIDDLE, PITCH_RADIUS, 1, "7 4 2 4")]
    marks += [_circle(MIDDLE, MIDDLE, _INNER, 1, "7 4 2 4")]
    for number, verdict in enumerate(verdicts, start=1):
        x, y = place_of(number, count)
        marks += _ring(x, y, 1, verdict, drawing_id)
        marks += [
            words(x, y + 2, str(number), "middle", True, 18),
            words(x, y + 15, LETTERS[verdict], "middle", True, 14),
        ]
    present = list(dict.fromkeys(verdicts))
    for place, verdict in enumerate(present):
        y = _WIDTH + _LINE * (place + 0.5)
        marks += _ring(20, y, 0.5, verdict, drawing_id)
        marks.append(words(20, y + 5, LETTERS[verdict], "middle", True, 14))
        marks.append(words(40, y + 6, verdict.label, size=TEXT_SIZE))
    height = _WIDTH + _LINE * len(present)
    patterns = [_PATTERN[verdict] for verdict in present if verdict in _PATTERN]
    return drawing(drawing_id, _WIDTH, height, title, " ".join(told), marks, patterns)


def _ring(x: float, y: float, scale: float, verdict: VerdictKind, drawing_id: str) -> list[str]:
    """A hole: its ring filled by the verdict (plain where it conforms, empty and dashed where not tried), its face."""
    pattern = _PATTERN.get(verdict)
    fill = "currentColor" if verdict is VerdictKind.CONFORMS else f"url(#{drawing_id}-{pattern})" if pattern else "none"
    dashes = "5 4" if verdict is VerdictKind.NOT_MEASURED else None
    ring = element(
        "circle", cx=x, cy=y, r=_OUTER * scale, fill=fill, stroke="currentColor", stroke_width=2.5,
        stroke_dasharray=dashes,
    )  # fmt: skip
    behind = element("circle", cx=x, cy=y, r=_OUTER * scale, fill="white")
    face = element("circle", cx=x, cy=y, r=(_FACE if scale == 1 else 18) * scale, fill="white")
    return [behind, ring, face]


def _circle(x: float, y: float, radius: float, width: float, dashes: str | None = None) -> str:
    return element(
        "circle", cx=x, cy=y, r=radius, fill="none", stroke="currentColor", stroke_width=width, stroke_dasharray=dashes
    )
