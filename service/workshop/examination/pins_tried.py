"""The pins tried in every spray hole, by their calibrated diameters, and what was recorded when they contradict."""

from dataclasses import dataclass
from decimal import Decimal

from service.metrology.gauge_pins import CalibratedPin
from service.metrology.hole_brackets import CalibratedPass, RecordedPass, as_recorded
from service.metrology.typed_numbers import plain
from service.workshop.examination.refusal import ExaminationRefused
from service.workshop.limit_sheet import PinCharacteristic
from service.workshop.measurements import PinMeasurement

PassesByHole = dict[int, list[CalibratedPass]]


@dataclass(frozen=True)
class HoleRecorded:
    """The pins of one hole as they were recorded, smallest first, with the passes that cannot be true together."""

    hole: int
    passes: tuple[RecordedPass, ...]

    @property
    def sentence(self) -> str:
        """What contradicts what, by the marks on the pins, and what to do; '' where nothing does."""
        entering = [one.pin for one in self.passes if one.contradicts and one.enters]
        refused = [one.pin for one in self.passes if one.contradicts and not one.enters]
        if not entering:
            return ""
        large, small = entering[-1], refused[0]
        if large.marked_mm == small.marked_mm:
            said = f"the {plain(large.marked_mm)} mm pin is recorded both as entering and as not entering"
            return f"Hole {self.hole}: {said}; clean the hole and try that pin again."
        size = "smaller" if small.diameter_mm < large.diameter_mm else "equally large"
        said = f"the {_named(large)} pin enters but the {size} {_named(small)} pin does not"
        return f"Hole {self.hole}: {said}; clean the hole, check both pins and try them again."


class PinsContradict(ExaminationRefused):
    """A larger pin entered and a smaller one did not; `holes` are those where it happened, as they were recorded."""

    def __init__(self, holes: tuple[HoleRecorded, ...]) -> None:
        super().__init__("pins-contradict", " ".join(hole.sentence for hole in holes), "pins")
        self.holes = holes


def pins_tried(item: PinCharacteristic, measured: PinMeasurement) -> PassesByHole:
    """Every hole of the sheet with its passes.

    A pin without a recorded diameter counts by the size marked on it. Raises ExaminationRefused: a hole or a pin
    that the sheet does not have, the go or the reject pin not answered; PinsContradict.
    """
    pins = _pins(measured)
    tried: PassesByHole = {hole: [] for hole in range(1, item.holes + 1)}
    for one in measured.passes:
        if one.hole not in tried:
            raise ExaminationRefused("hole", f"The nozzle has holes 1 to {item.holes}.", "passes")
        if one.pin not in item.pins:
            raise ExaminationRefused("pin", f"The sheet has no pin of {plain(one.pin)} mm.", "passes")
        tried[one.hole].append(CalibratedPass(pins[one.pin], one.enters))
    for hole, passes in tried.items():
        _check_answered(item, hole, {one.pin.marked_mm for one in passes})
    recorded = (HoleRecorded(hole, as_recorded(passes)) for hole, passes in tried.items())
    if against := tuple(hole for hole in recorded if hole.sentence):
        raise PinsContradict(against)
    return tried


def _pins(measured: PinMeasurement) -> dict[Decimal, CalibratedPin]:
    """The pins that were tried, by the size marked on them."""
    use, diameters = measured.instrument, {one.nominal: one.diameter for one in measured.calibrated}
    return {
        size: CalibratedPin(
            f"{use.code}, {plain(size)} mm", size, diameters.get(size, size), use.expanded_uncertainty, use.k
        )
        for size in {one.pin for one in measured.passes if one.pin.is_finite() and one.pin > 0}
    }


def _check_answered(item: PinCharacteristic, hole: int, answered: set[Decimal]) -> None:
    missing = [pin for pin in (item.go_pin, item.reject_pin) if pin not in answered]
    if missing:
        pins = " and ".join(f"{plain(pin)} mm" for pin in missing)
        raise ExaminationRefused("pin-not-tried", f"Hole {hole}: the {pins} pin is not answered.", f"hole-{hole}")


def _named(pin: CalibratedPin) -> str:
    """A pin by its mark, and by its diameter where the calibration found another."""
    measured = "" if pin.diameter_mm == pin.marked_mm else f" (measured {plain(pin.diameter_mm)} mm)"
    return f"{plain(pin.marked_mm)} mm{measured}"
