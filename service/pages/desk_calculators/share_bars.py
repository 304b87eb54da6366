"""The share of each contribution as bars, told apart by patterns."""

from collections.abc import Sequence

from markupsafe import Markup

from service.documents.drawing import PATTERNS, area, drawing, line, words

_WIDTH, _LONGEST, _ROW = 400.0, 310.0, 52.0
_LONGEST_NAME = 40


def share_bars(shares: Sequence[tuple[str, float]]) -> Markup:
    """Bars of names and shares of the variance, 0 to 1, in the order given."""
    marks: list[str] = []
    for number, (name, share) in enumerate(shares):
        top = 20 + number * _ROW
        length = max(share, 0.0) * _LONGEST
        shown = name if len(name) <= _LONGEST_NAME else f"{name[: _LONGEST_NAME - 1]}…"
        marks.append(words(4, top, shown))
        if length >= 1:
            marks.append(area(4, top + 6, length, 20, PATTERNS[number % len(PATTERNS)], "shares"))
        else:
            marks.append(line(4, top + 6, 4, top + 26, 2))
        marks.append(words(12 + length, top + 22, f"{100 * share:.1f} %", bold=True))
    described = "; ".join(f"{name} {100 * share:.1f} %" for name, share in shares) + "."
    height = 16 + _ROW * len(shares)
    # Every mark comes from `service.documents.drawing`, which escapes what it writes.
    return Markup(
        drawing("shares", _WIDTH, height, "Share of each contribution in the variance", described, marks, PATTERNS)
    )
