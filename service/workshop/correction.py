"""The corrected error of an instrument: one for its whole range, or one at each calibrated point and between them.

Sign convention: error = indicated − true, as calibration certificates print it; so corrected = reading − error.
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from service.metrology.typed_numbers import plain
from service.workshop.calibration import CalibratedPoint


@dataclass(frozen=True, kw_only=True)
class Correction:
    """`error` = indicated − true in the instrument's unit; `pins` the corrected diameter (mm) by the nominal size.

    With `points`, which are in ascending order of their nominals, the error is read from them and `error` not used.
    """

    error: Decimal = Decimal(0)
    points: tuple[CalibratedPoint, ...] = ()
    pins: Mapping[Decimal, Decimal] = field(default_factory=dict)

    def less_error(self, reading: Decimal) -> Decimal:
        """The reading corrected, in its own unit."""
        return reading - (error_at(self.points, reading) if self.points else self.error)

    def in_words(self, unit: str) -> str:
        """What it takes off a reading, for pages and letters; pins are said elsewhere."""
        if not self.points:
            return f"{plain(self.error)} {unit}"
        listed = "; ".join(f"{plain(one.error)} at {plain(one.nominal)}" for one in self.points)
        if len(self.points) == 1:
            return f"{listed} {unit}, taken for the whole range"
        return f"{listed} {unit}; in a straight line between them, beyond the first and the last constant"


def error_at(points: Sequence[CalibratedPoint], reading: Decimal) -> Decimal:
    """The error at a reading, all in the instrument's unit: linear between two calibrated points.

    `points`, at least one, in ascending order of their nominals. Outside their span nothing is known of the slope: the
    error of the nearest point is taken. The result has one digit more than the finest of these errors and the reading.
    """
    if reading <= points[0].nominal:
        return points[0].error
    if reading >= points[-1].nominal:
        return points[-1].error
    place = bisect_left(points, reading, key=lambda one: one.nominal)
    before, after = points[place - 1], points[place]
    part = (reading - before.nominal) / (after.nominal - before.nominal)
    finest = min(int(one.as_tuple().exponent) for one in (before.error, after.error, reading)) - 1
    error = before.error + (after.error - before.error) * part
    return error.quantize(Decimal(1).scaleb(finest))
