"""A straight line through the readings next to an event, over as long a stretch as the pressure runs straight there."""

from dataclasses import dataclass

import numpy as np

from service.metrology.measured_points import Floats

LEAST_READINGS = 6
_SHORTER = 0.75
_FARTHEST = 2.5  # standard errors


@dataclass(frozen=True, slots=True)
class Line:
    """Pressure over time: `at_middle_bar` at `middle_s`, a slope, the scatter about it, and Σ(t − middle)²."""

    middle_s: float
    at_middle_bar: float
    slope_bar_per_s: float
    deviation_bar: float
    readings: int
    squares_s2: float

    def at(self, t_s: float) -> float:
        """The line's pressure at a time, bar."""
        return self.at_middle_bar + self.slope_bar_per_s * (t_s - self.middle_s)

    def standard_error(self, t_s: float) -> float:
        """How well that pressure is known from the scatter of the readings, bar."""
        share = (t_s - self.middle_s) ** 2 / self.squares_s2 if self.squares_s2 > 0 else 0.0
        return self.deviation_bar * float(np.sqrt(1 / self.readings + share))


def line_through(t_s: Floats, pressure_bar: Floats) -> Line:
    """The line of least squares through at least two readings at different times."""
    middle, level = float(t_s.mean()), float(pressure_bar.mean())
    x, y = t_s - middle, pressure_bar - level
    squares = float(x @ x)
    slope = float(x @ y) / squares if squares > 0 else 0.0
    rest = y - slope * x
    deviation = float(np.sqrt(rest @ rest / max(1, len(x) - 2)))
    return Line(middle, level, slope, deviation, len(x), squares)


def line_before(t_s: Floats, pressure_bar: Floats) -> Line:
    """The line that ends with the last reading, over the longest stretch that is straight.

    A stretch counts as straight when neither a bend (two and a half standard errors) nor what its halves, quarters and
    eighths say of the pressure at its end (as many of theirs) contradicts the line.
    """
    end = float(t_s[-1])
    length = len(t_s)
    while length > LEAST_READINGS:
        line = line_through(t_s[-length:], pressure_bar[-length:])
        if _straight(line, t_s[-length:], pressure_bar[-length:], end):
            return line
        length = max(LEAST_READINGS, int(length * _SHORTER))
    return line_through(t_s[-length:], pressure_bar[-length:])


def line_after(t_s: Floats, pressure_bar: Floats) -> Line:
    """The line that begins with the first reading, over the longest stretch that is straight; see `line_before`."""
    mirrored = line_before(-t_s[::-1], pressure_bar[::-1])
    return Line(
        -mirrored.middle_s, mirrored.at_middle_bar, -mirrored.slope_bar_per_s, mirrored.deviation_bar,
        mirrored.readings, mirrored.squares_s2,
    )  # fmt: skip


def _straight(line: Line, t_s: Floats, pressure_bar: Floats, end: float) -> bool:
    x = t_s - line.middle_s
    rest = pressure_bar - line.at_middle_bar - line.slope_bar_per_s * x
    bend = x**2 - line.squares_s2 / len(x)
    bend = bend - float(bend @ x) / line.squares_s2 * x if line.squares_s2 > 0 else bend
    size = float(bend @ bend)
    if size <= 0:
        return True
    curve = float(bend @ rest) / size
    left = rest - curve * bend
    scatter = float(np.sqrt(left @ left / max(1, len(x) - 3)))
    if abs(curve) * np.sqrt(size) > _FARTHEST * scatter + 1e-9 * abs(line.at_middle_bar):
        return False
    for part in (2, 4, 8):
        length = len(x) // part
        if length < LEAST_READINGS:
            break
        near = line_through(t_s[-length:], pressure_bar[-length:])
        if abs(near.at(end) - line.at(end)) > _FARTHEST * near.standard_error(end) + 1e-9 * abs(line.at_middle_bar):
            return False
    return True
