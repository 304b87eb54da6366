"""The metal of a seat, overhaul by overhaul, as bars that draw shorter."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from markupsafe import Markup

from service.documents.drawing import HATCHED, area, drawing, element, line, words
from service.metrology.typed_numbers import plain

_WIDTH, _LONGEST, _ROW = 400.0, 384.0, 58.0


@dataclass(frozen=True, slots=True)
class MetalBar:
    """One overhaul, mm: what was left after it, what its recuts had taken, the expanded uncertainty of the former."""

    overhaul: str
    left_mm: Decimal
    taken_mm: Decimal
    expanded_uncertainty_mm: Decimal


def metal_drawing(identity: str, title: str, bars: Sequence[MetalBar]) -> Markup | str:
    """A bar for each overhaul, oldest first: plain is what was left, hatched what was taken; '' without bars."""
    if not bars:
        return ""
    most = max(max(bar.left_mm, Decimal(0)) + bar.taken_mm for bar in bars)
    marks: list[str] = []
    for number, bar in enumerate(bars):
        top = 22 + number * _ROW
        left = _LONGEST * float(max(bar.left_mm, Decimal(0)) / most)
        taken = _LONGEST * float(bar.taken_mm / most)
        marks.append(words(4, top, _left(bar), bold=number == len(bars) - 1))
        marks.append(element("rect", x=4, y=top + 8, width=max(left, 1), height=20, fill="currentColor", opacity=0.55))
        if taken > 0.5:
            marks.append(area(4 + left, top + 8, taken, 20, HATCHED, identity))
        marks.append(line(4 + left, top + 4, 4 + left, top + 32, 2))
    height = 16 + _ROW * len(bars) + 16
    marks.append(words(4, height - 6, "Filled: left. Hatched: taken by recuts."))
    described = " ".join(f"{_left(bar)}, {plain(bar.taken_mm)} mm taken." for bar in bars)
    # Every mark comes from `service.documents.drawing`, which escapes what it writes.
    return Markup(drawing(identity, _WIDTH, height, f"Metal left: {title}", described, marks, (HATCHED,)))


def _left(bar: MetalBar) -> str:
    return f"{bar.overhaul}: {plain(bar.left_mm)} ± {plain(bar.expanded_uncertainty_mm)} mm left"
