"""Lists that are typed into one box: the pins of a set, the points of a calibration certificate."""

import re
from decimal import Decimal

from service.actions.shop import Refused
from service.metrology.typed_numbers import plain
from service.metrology.units import parse_quantity
from service.workshop.calibration import CalibratedPoint

_SPAN = re.compile(r"(?P<first>\S+)\s+to\s+(?P<last>\S+)\s+by\s+(?P<step>\S+)")
_MOST = 500


def typed_pins(text: str, field: str = "pins") -> tuple[Decimal, ...]:
    """Pin sizes in mm, separated by blanks, semicolons or lines; `0.20 to 1.20 by 0.01` stands for a whole span."""
    pins: list[Decimal] = []
    for line in text.splitlines():
        span = _SPAN.fullmatch(line.strip())
        if span is None:
            pins += [parse_quantity(piece, "mm", field) for piece in line.replace(";", " ").split()]
            continue
        first, last, step = (parse_quantity(span[name], "mm", field) for name in ("first", "last", "step"))
        if step <= 0 or last < first or (last - first) / step > _MOST:
            raise Refused("pins", f"“{line.strip()}” is no span of at most {_MOST} pins: check its three sizes.", field)
        pins += [first + step * place for place in range(int((last - first) / step) + 1)]
    return tuple(pins)


def typed_points(text: str, unit: str, *, pin_set: bool, field: str = "points") -> tuple[CalibratedPoint, ...]:
    """Points of a certificate, one a line: nominal and error, or for a pin set nominal and calibrated diameter."""
    points = []
    for line in text.splitlines():
        if not line.strip():
            continue
        pieces = [piece for piece in (re.split(r"[;\t]", line) if re.search(r"[;\t]", line) else line.split()) if piece]
        if len(pieces) != 2:
            second = "calibrated diameter" if pin_set else "error"
            raise Refused("points", f"“{line.strip()}”: write nominal; {second} on each line.", field)
        nominal, second_value = (parse_quantity(piece.strip(), unit, field) for piece in pieces)
        error = second_value - nominal if pin_set else second_value
        points.append(CalibratedPoint(nominal=nominal, error=error))
    return tuple(points)


def points_as_typed(points: tuple[CalibratedPoint, ...], *, pin_set: bool) -> str:
    """The points as they would be typed, for a form that starts from the last certificate."""
    return "\n".join(f"{plain(point.nominal)}; {plain(point.diameter if pin_set else point.error)}" for point in points)
