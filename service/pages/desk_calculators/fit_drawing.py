"""A fit as a drawing: the tolerance intervals of hole and shaft about the zero line, which is the nominal size."""

from markupsafe import Markup

from service.documents.drawing import DOTTED, HATCHED, area, drawing, line, words
from service.metrology.limits_and_fits import Fit, LimitsOfSize
from service.metrology.typed_numbers import plain
from service.pages.desk_calculators.size_rows import signed_um

_WIDTH, _TOP, _DEPTH = 400.0, 34.0, 190.0
_HOLE_AT, _SHAFT_AT, _BROAD = 40.0, 250.0, 110.0
_THINNEST = 3.0


def fit_drawing(found: Fit, hole: str, shaft: str) -> Markup:
    """The drawing; deviations in µm stand at the edges. Both intervals have their own pattern."""
    highest = max(found.hole.upper_nm, found.shaft.upper_nm, 0)
    lowest = min(found.hole.lower_nm, found.shaft.lower_nm, 0)
    per_nm = _DEPTH / max(highest - lowest, 1)
    zero = _TOP + highest * per_nm
    marks = [
        line(8, zero, _WIDTH - 8, zero, 1.5, "10 4 2 4"),
        words(_WIDTH / 2, zero - 5, "0", "middle"),
    ]
    for limits, left, pattern in ((found.hole, _HOLE_AT, HATCHED), (found.shaft, _SHAFT_AT, DOTTED)):
        marks += _interval(limits, left, pattern, zero, per_nm)
    foot = _TOP + _DEPTH + 48
    marks += [
        words(_HOLE_AT + _BROAD / 2, foot, f"Hole {hole}", "middle", bold=True),
        words(_SHAFT_AT + _BROAD / 2, foot, f"Shaft {shaft}", "middle", bold=True),
        words(_WIDTH / 2, foot + 26, f"In µm about the nominal size, {plain(found.hole.nominal_mm)} mm", "middle"),
    ]
    described = " ".join(_described(kind, limits) for kind, limits in (("hole", found.hole), ("shaft", found.shaft)))
    # Every mark comes from `service.documents.drawing`, which escapes what it writes.
    return Markup(
        drawing("fit", _WIDTH, foot + 40, "Tolerance intervals of hole and shaft", described, marks, (HATCHED, DOTTED))
    )


def _interval(limits: LimitsOfSize, left: float, pattern: str, zero: float, per_nm: float) -> list[str]:
    top, bottom = zero - limits.upper_nm * per_nm, zero - limits.lower_nm * per_nm
    middle = left + _BROAD / 2
    return [
        area(left, top, _BROAD, max(bottom - top, _THINNEST), pattern, "fit"),
        words(middle, top - 7, signed_um(limits.upper_mm), "middle", bold=True),
        words(middle, max(bottom, top + _THINNEST) + 19, signed_um(limits.lower_mm), "middle", bold=True),
    ]


def _described(kind: str, limits: LimitsOfSize) -> str:
    return (
        f"The {kind}’s interval reaches from {signed_um(limits.lower_mm)} to {signed_um(limits.upper_mm)} µm "
        "about the nominal size."
    )
