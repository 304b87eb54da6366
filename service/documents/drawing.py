"""Marks of a drawing as SVG text. One colour, the reader's own: lines differ by dashes, areas by patterns, so that a
drawing keeps its meaning in dark mode and on a grey printer. Everything written into a drawing is escaped here."""

from collections.abc import Iterable, Sequence
from xml.sax.saxutils import escape, quoteattr

TEXT_SIZE = 17
HATCHED, DOTTED, CROSSED, BARRED = "hatched", "dotted", "crossed", "barred"
PATTERNS = (HATCHED, DOTTED, CROSSED, BARRED)

_TILES = {
    HATCHED: "M-2 2l4 -4M0 8l8 -8M6 10l4 -4",
    CROSSED: "M0 8l8 -8M0 0l8 8",
    BARRED: "M4 0v8",
}


def element(name: str, content: str = "", **attributes: object) -> str:
    """One element; `stroke_width` is written `stroke-width`, numbers to a tenth of what is seen, None is left out."""
    written = "".join(
        f" {key.rstrip('_').replace('_', '-')}={quoteattr(_written(value))}"
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{written}>{content}</{name}>" if content else f"<{name}{written}/>"


def line(x1: float, y1: float, x2: float, y2: float, width: float = 1.5, dashes: str | None = None) -> str:
    """A straight line."""
    return element(
        "line", x1=x1, y1=y1, x2=x2, y2=y2, stroke="currentColor", stroke_width=width, stroke_dasharray=dashes
    )


def words(x: float, y: float, text: str, anchor: str = "start", bold: bool = False, size: int = TEXT_SIZE) -> str:
    """A line of text; `anchor` is start, middle or end."""
    return element(
        "text", escape(text), x=x, y=y, text_anchor=anchor, font_size=size, fill="currentColor",
        font_weight="700" if bold else None,
    )  # fmt: skip


def area(x: float, y: float, width: float, height: float, pattern: str, drawing_id: str) -> str:
    """A rectangle filled with one of the `PATTERNS` and outlined."""
    return element(
        "rect", x=x, y=y, width=width, height=height, fill=f"url(#{drawing_id}-{pattern})",
        stroke="currentColor", stroke_width=2,
    )  # fmt: skip


def path(
    places: Iterable[tuple[float, float]], closed: bool, width: float, dashes: str | None = None,
    class_: str | None = None,
) -> str:  # fmt: skip
    """A line through places."""
    steps = " ".join(f"{_written(x)},{_written(y)}" for x, y in places)
    return element(
        "path", d=f"M{steps}{'Z' if closed else ''}", fill="none", stroke="currentColor", stroke_width=width,
        stroke_dasharray=dashes, stroke_linejoin="round", class_=class_,
    )  # fmt: skip


def drawing(
    drawing_id: str, width: float, height: float, title: str, description: str, marks: Sequence[str],
    patterns: Sequence[str] = (),
) -> str:  # fmt: skip
    """The whole drawing with its title and its text alternative; `drawing_id` is its own on a page."""
    head = [
        element("title", escape(title), id=f"{drawing_id}-title"),
        element("desc", escape(description), id=f"{drawing_id}-description"),
    ]
    if patterns:
        head.append(element("defs", "".join(_pattern(one, drawing_id) for one in patterns)))
    return element(
        "svg", "".join((*head, *marks)), xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {_written(width)} {_written(height)}", role="img", font_family="sans-serif",
        aria_labelledby=f"{drawing_id}-title {drawing_id}-description",
    )  # fmt: skip


def _pattern(name: str, drawing_id: str) -> str:
    if name == DOTTED:
        tile = element("circle", cx=4, cy=4, r=1.4, fill="currentColor")
    else:
        tile = element("path", d=_TILES[name], stroke="currentColor", stroke_width=1.3, fill="none")
    return element("pattern", tile, id=f"{drawing_id}-{name}", width=8, height=8, patternUnits="userSpaceOnUse")


def _written(value: object) -> str:
    return f"{value:.2f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)
