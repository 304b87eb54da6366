"""Whether the go and the reject pin of a set still are what the limit sheet takes them for."""

from collections.abc import Sequence
from decimal import Decimal

from service.metrology.conformity import DoesNotConform
from service.metrology.gauge_pins import CalibratedPin, PinFitness, PinRole, PinSizes, judge_pin
from service.metrology.typed_numbers import plain
from service.workshop.instrument_fitness import InstrumentRefused
from service.workshop.limit_sheet import PinCharacteristic
from service.workshop.measurements import CalibratedPin as PinOfSet
from service.workshop.measurements import InstrumentUse


def check_go_and_reject_pin(
    item: PinCharacteristic, use: InstrumentUse, pins: Sequence[PinOfSet], field: str = "instrument"
) -> None:
    """Refuse a set (code `pin-out-of-limits`) whose go or reject pin would let bad holes pass, with the remedy.

    Each is judged by its own uncertainty on its dangerous side (`judge_pin`): a go pin proven smaller than the least
    size enters holes that are too small, a reject pin proven larger than the largest stays out of holes that are too
    large. The sizes are those of the class of the holes, or without one the marks on the two pins. A reject pin worn
    under its mark errs to the other side: it is used, and what it then leaves open is judged not proven.
    """
    limits = item.hole_limits
    lower, upper = (item.go_pin, item.reject_pin) if limits is None else (limits.min_mm, limits.max_mm)
    sizes, diameters = PinSizes(lower, upper, Decimal(0)), {pin.nominal: pin.diameter for pin in pins}
    for marked, role in ((item.go_pin, PinRole.GO), (item.reject_pin, PinRole.NO_GO)):
        if marked not in diameters:
            continue
        pin = CalibratedPin(use.code, marked, diameters[marked], use.expanded_uncertainty, use.k)
        if isinstance(judge_pin(pin, role, sizes).verdict, DoesNotConform):
            raise InstrumentRefused("pin-out-of-limits", _sentence(pin, role, sizes), field)


def serving_pin(pins: Sequence[CalibratedPin], role: PinRole, sizes: PinSizes) -> PinFitness | None:
    """Of pins that prove the limit in that role the one that refuses least of the tolerance, None where none does.

    One that would refuse half of the tolerance or more is none: it would condemn good nozzles.
    """
    most_lost = (sizes.no_go_mm - sizes.go_mm) / 2
    judged = (judge_pin(pin, role, sizes) for pin in pins)
    serving = [one for one in judged if one.usable and one.tolerance_lost_mm < most_lost]
    return min(serving, key=lambda one: (one.tolerance_lost_mm, one.pin.marked_mm), default=None)


def _sentence(pin: CalibratedPin, role: PinRole, sizes: PinSizes) -> str:
    measured = f"measures {plain(pin.diameter_mm)} mm (U = {plain(pin.expanded_uncertainty_mm)} mm)"
    if role is PinRole.GO:
        name, limit = "go", f"under the least size of {plain(sizes.go_mm)} mm"
        said = f"has worn: it {measured}, {limit}, and enters holes that are too small"
    else:
        name, limit = "reject", f"over the largest size of {plain(sizes.no_go_mm)} mm"
        said = f"{measured}, {limit}, and lets holes pass that are too large"
    pin_named = f"The {plain(pin.marked_mm)} mm {name} pin of {pin.code}"
    return f"{pin_named} {said}. Take another set, and have this pin replaced."
