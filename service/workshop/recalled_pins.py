"""What a failed calibration says of an instrument or of the pins of a set, and the holes gauged with such pins."""

from collections.abc import Iterable, Mapping
from decimal import Decimal

from service.metrology.typed_numbers import plain
from service.workshop.calibration import Calibration
from service.workshop.limit_sheet import PinCharacteristic
from service.workshop.measurements import PinMeasurement
from service.workshop.vocabulary import VerdictKind


def judge_with_pins(
    item: PinCharacteristic, measured: PinMeasurement, diameters: Mapping[Decimal, Decimal]
) -> tuple[VerdictKind, str]:
    """The verdict and its reason with the corrected `diameters` (mm, by nominal size) of the pins.

    A pin that is not among them counts by the size marked on it, as it did when the verdict was made. A hole is at
    least as large as the largest pin that enters and smaller than the smallest that does not; the sheet asks for the
    go size at least and less than the reject size. What the pins then leave open is not proven.
    """
    failed, open_holes = [], []
    for hole in range(1, item.holes + 1):
        tried = [one for one in measured.passes if one.hole == hole]
        low = max((diameters.get(one.pin, one.pin) for one in tried if one.enters), default=None)
        high = min((diameters.get(one.pin, one.pin) for one in tried if not one.enters), default=None)
        if low is not None and high is not None and high <= low:
            sentence = f"Hole {hole}: with these diameters the pins contradict each other; gauge it again."
            return VerdictKind.NOT_PROVEN, sentence
        if (low is not None and low >= item.reject_pin) or (high is not None and high <= item.go_pin):
            failed.append(hole)
        elif low is None or low < item.go_pin or high is None or high > item.reject_pin:
            open_holes.append(hole)
    go, reject = plain(item.go_pin), plain(item.reject_pin)
    if failed:
        return VerdictKind.DOES_NOT_CONFORM, f"Hole {_listed(failed)} is outside {go} to {reject} mm."
    if open_holes:
        sentence = f"Hole {_listed(open_holes)}: the pins no longer prove at least {go} mm and less than {reject} mm."
        return VerdictKind.NOT_PROVEN, f"{sentence} Gauge it again."
    return VerdictKind.CONFORMS, f"Every hole is still proven at least {go} mm and less than {reject} mm."


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


def _listed(holes: Iterable[int]) -> str:
    return ", ".join(str(hole) for hole in holes)
