"""A value with its interval against limits and guard bands, as a drawing."""

from collections.abc import Callable
from decimal import Decimal

from markupsafe import Markup

from service.documents.drawing import HATCHED, area, drawing, element, line, words
from service.metrology.conformity import Verdict
from service.metrology.typed_numbers import plain

_WIDTH, _MARGIN = 400.0, 28.0
_AXIS, _BAND_TOP, _BAND_DEEP = 150.0, 74.0, 76.0
_ID = "conformity"


def conformity_drawing(verdict: Verdict, expanded_uncertainty: Decimal, unit: str) -> Markup:
    """Limits as upright lines, guard bands hatched on both sides of them, the value as a dot with ± U."""
    ends = [verdict.value - expanded_uncertainty, verdict.value + expanded_uncertainty]
    limits = [
        (f"{name} limit {plain(limit)} {unit}", limit)
        for name, limit in (("Lower", verdict.lower), ("Upper", verdict.upper))
        if limit is not None
    ]
    for _, limit in limits:
        ends += [limit - verdict.guard_band, limit + verdict.guard_band]
    at = _placing(min(ends), max(ends))
    marks = [line(8, _AXIS, _WIDTH - 8, _AXIS, 1.5)]
    for number, (label, limit) in enumerate(limits):
        x, y = at(limit), 20.0 + 24 * number
        band = at(limit + verdict.guard_band) - at(limit)
        if band > 0.5:
            marks.append(area(x - band, _BAND_TOP, 2 * band, _BAND_DEEP, HATCHED, _ID))
        marks.append(line(x, 51, x, _AXIS + 8, 3))
        marks.append(words(x, y, label, "start" if x < _WIDTH / 2 else "end", bold=True))
    marks += _value_marks(verdict.value, expanded_uncertainty, unit, at)
    marks.append(words(8, _AXIS + 70, "Hatched: guard band at a limit"))
    described = _described(verdict, expanded_uncertainty, unit)
    # Every mark comes from `service.documents.drawing`, which escapes what it writes.
    return Markup(drawing(_ID, _WIDTH, _AXIS + 82, "The value against its limits", described, marks, (HATCHED,)))


def _placing(lowest: Decimal, highest: Decimal) -> Callable[[Decimal], float]:
    """From a value to its place in the drawing."""
    spread = highest - lowest or abs(highest) or Decimal(1)
    start, units = lowest - spread / 10, Decimal(_WIDTH - 2 * _MARGIN) / (spread * Decimal("1.2"))
    return lambda value: _MARGIN + float((value - start) * units)


def _value_marks(value: Decimal, expanded_uncertainty: Decimal, unit: str, at: Callable[[Decimal], float]) -> list[str]:
    y = _BAND_TOP + _BAND_DEEP / 2
    x, left, right = at(value), at(value - expanded_uncertainty), at(value + expanded_uncertainty)
    label = f"{plain(value)} ± {plain(expanded_uncertainty)} {unit}"
    half = 5.2 * len(label)
    return [
        line(left, y, right, y, 4),
        line(left, y - 8, left, y + 8, 3),
        line(right, y - 8, right, y + 8, 3),
        element("circle", cx=x, cy=y, r=7, fill="currentColor"),
        line(x, y, x, _AXIS + 24, 1, "2 3"),
        words(min(max(x, half), _WIDTH - half), _AXIS + 40, label, "middle", bold=True),
    ]


def _described(verdict: Verdict, expanded_uncertainty: Decimal, unit: str) -> str:
    lower = "no lower limit" if verdict.lower is None else f"lower limit {plain(verdict.lower)} {unit}"
    upper = "no upper limit" if verdict.upper is None else f"upper limit {plain(verdict.upper)} {unit}"
    return (
        f"The value {plain(verdict.value)} {unit} with its interval of ± {plain(expanded_uncertainty)} {unit}; "
        f"{lower}, {upper}, guard band {plain(verdict.guard_band)} {unit} on either side of a limit."
    )
