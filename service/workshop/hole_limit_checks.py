"""Whether the limits that a sheet sets for brackets, spread and flow area of spray holes make sense."""

from collections.abc import Iterator
from decimal import Decimal

from service.metrology.errors import DomainError
from service.metrology.gauge_pins import pin_sizes
from service.metrology.typed_numbers import plain
from service.workshop.limit_sheet import PinCharacteristic

LARGEST_HOLE_MM = 10
_LARGEST_PER_CENT = 1000


def hole_limit_faults(item: PinCharacteristic) -> Iterator[str]:
    """Every fault of the nominal size, the class, the wear allowance, the spread and the flow area, in words."""
    if item.nominal is not None and item.designation is not None:
        yield "Give the nominal diameter of the holes or their ISO 286 class, not both: the class has the diameter."
    if item.nominal is not None and not 0 < item.nominal <= LARGEST_HOLE_MM:
        yield f"The nominal diameter of the holes lies above 0 and up to {LARGEST_HOLE_MM} mm."
    if item.spread_limit is not None and not 0 < item.spread_limit < LARGEST_HOLE_MM:
        yield f"The spread of the holes allowed lies above 0 and under {LARGEST_HOLE_MM} mm."
    yield from _class_faults(item)
    yield from _area_faults(item)


def _class_faults(item: PinCharacteristic) -> Iterator[str]:
    if item.designation is None:
        if item.wear_allowance is not None:
            yield "A wear allowance belongs to the class of the holes: give the class as well."
        return
    try:
        limits = item.hole_limits
        if limits is None:
            return
        pin_sizes(limits, item.wear_allowance or Decimal(0))
    except DomainError as error:
        yield error.sentence
        return
    if limits.max_mm > LARGEST_HOLE_MM:
        yield f"A spray hole has at most {LARGEST_HOLE_MM} mm."
    least, largest = plain(limits.min_mm), plain(limits.max_mm)
    if item.go_pin < limits.min_mm:
        yield (
            f"The go pin is under the least size {least} mm of {item.designation}: it enters holes that are too small."
        )
    if item.reject_pin > limits.max_mm:
        yield (
            f"The reject pin is over the largest size {largest} mm of {item.designation}: "
            "it stays out of holes that are too large."
        )


def _area_faults(item: PinCharacteristic) -> Iterator[str]:
    least, most = item.area_least, item.area_most
    if least is None and most is None:
        return
    if item.nominal is None and item.designation is None:
        yield "Limits of the flow area are in per cent of nominal: give the nominal diameter or the class of the holes."
    if any(one is not None and not 0 < one <= _LARGEST_PER_CENT for one in (least, most)):
        yield "The limits of the flow area are in per cent of nominal, such as 95 and 110."
    elif least is not None and most is not None and least >= most:
        yield f"The least flow area {plain(least)} % is not under the most {plain(most)} %."
