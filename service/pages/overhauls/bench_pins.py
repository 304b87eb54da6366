"""The gauge pins that the class of the holes needs, and which pins of the sets at hand serve, at the bench."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from service.actions.shop import Shop
from service.metrology.errors import DomainError
from service.metrology.gauge_pins import CalibratedPin, PinFitness, PinRole, PinSizes, pin_sizes
from service.metrology.typed_numbers import plain
from service.pages.choices import Option
from service.pages.pins_for_class import PinsForClass, pins_for_class
from service.records.pin_reads import pins_of_sets
from service.workshop.limit_sheet import AnyCharacteristic, PinCharacteristic
from service.workshop.pin_fitness import serving_pin


@dataclass(frozen=True)
class SetAtHand:
    """One set: its go and its no-go pin that prove the limits of the class and give away least, or that it has none."""

    code: str
    go: str
    no_go: str


@dataclass(frozen=True)
class BenchPins:
    """The pins of the class, and the sets to choose from."""

    needed: PinsForClass
    sets: tuple[SetAtHand, ...]


def bench_pins(shop: Shop, item: AnyCharacteristic, instruments: Sequence[Option]) -> BenchPins | None:
    """For spray holes with a class on the sheet; None for all others."""
    if not isinstance(item, PinCharacteristic) or item.designation is None or item.hole_limits is None:
        return None
    wear = item.wear_allowance or Decimal(0)
    try:
        sizes = pin_sizes(item.hole_limits, wear)
        needed = pins_for_class(item.designation, wear, Decimal(0), None)
    except DomainError:  # a class that no pin can try is told on the sheet
        return None
    at_hand = pins_of_sets(shop.store, [one.value for one in instruments], shop.today)
    return BenchPins(needed, tuple(_set(code, pins, sizes) for code, pins in at_hand.items()))


def _set(code: str, pins: Sequence[CalibratedPin], sizes: PinSizes) -> SetAtHand:
    go, no_go = serving_pin(pins, PinRole.GO, sizes), serving_pin(pins, PinRole.NO_GO, sizes)
    wear = "" if go is None else f", {plain(go.wear_left_mm)} mm left to wear"
    return SetAtHand(code, f"{_named(go)}{wear}", _named(no_go))


def _named(found: PinFitness | None) -> str:
    if found is None:
        return "none proves the limit"
    pin = found.pin
    return f"{plain(pin.marked_mm)} mm (measured {plain(pin.diameter_mm)} mm)"
