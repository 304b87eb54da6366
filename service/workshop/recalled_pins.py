"""What a failed calibration says of an instrument or of the pins of a set, and the holes gauged with such pins."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal

from service.workshop.calibration import Calibration
from service.workshop.examination.pins_tried import PinsContradict
from service.workshop.examination.spray_holes import judge_pins
from service.workshop.limit_sheet import PinCharacteristic
from service.workshop.measurements import CalibratedPin, PinMeasurement
from service.workshop.vocabulary import VerdictKind


def judge_with_pins(
    item: PinCharacteristic, measured: PinMeasurement, diameters: Mapping[Decimal, Decimal]
) -> tuple[VerdictKind, str]:
    """The verdict and its reason with the corrected `diameters` (mm, by nominal size) of the pins.

    A pin that is not among them counts as it did when the verdict was made: by its calibrated diameter, or by the size
    marked on it where none was recorded. The rule is that of the bench; pins that contradict each other prove nothing.
    """
    kept = {one.nominal: one.diameter for one in measured.calibrated}
    tried = sorted({one.pin for one in measured.passes})
    pins = tuple(CalibratedPin(nominal=pin, diameter=diameters.get(pin, kept.get(pin, pin))) for pin in tried)
    try:
        outcome = judge_pins(item, replace(measured, calibrated=pins))
    except PinsContradict as error:
        holes = ", ".join(str(hole.hole) for hole in error.holes)
        return (
            VerdictKind.NOT_PROVEN,
            f"Hole {holes}: with these diameters the pins contradict each other; gauge it again.",
        )
    return outcome.verdict, outcome.sentence


def changed_pins(good: Calibration | None, failed: Calibration) -> dict[Decimal, Decimal]:
    """The pins (nominal mm) whose diameter moved by more than the failed calibration's U at k = 2, with the new one.

    Compared with the last good calibration, or with the size marked on the pin where that names none.
    """
    before = {point.nominal: point.diameter for point in good.points} if good else {}
    uncertainty, _ = failed.covering
    return {
        point.nominal: point.diameter
        for point in failed.points
        if abs(point.diameter - before.get(point.nominal, point.nominal)) > uncertainty
    }


def largest_error(failed: Calibration) -> Decimal:
    """The error of greatest magnitude on a certificate (indicated − true, its unit); zero where it lists no point."""
    return max((point.error for point in failed.points), key=abs, default=Decimal(0))
