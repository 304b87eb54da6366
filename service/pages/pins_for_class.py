"""The gauge pins of a class of holes, as calculator, limit sheet and bench show them."""

from dataclasses import dataclass
from decimal import Decimal

from service.metrology.designations import tolerance_class
from service.metrology.gauge_pins import PinProposal, PinSizes, pin_sizes, propose_pins
from service.metrology.limits_and_fits import LimitsOfSize, limits_of_size
from service.metrology.typed_numbers import plain


@dataclass(frozen=True)
class PinRow:
    """What a pair of pins is, its two sizes in mm, and why."""

    what: str
    go: str
    no_go: str
    why: str


@dataclass(frozen=True)
class PinsForClass:
    """The pins of one class; `between` lists sizes between them, to bracket a hole."""

    heading: str
    sentence: str
    rows: tuple[PinRow, ...]
    between: str


def pins_for_class(
    designation: str, wear_mm: Decimal, uncertainty_mm: Decimal, increment_mm: Decimal | None
) -> PinsForClass:
    """Limit sizes, the new go pin, and with an increment the sizes to buy. Raises MetrologyError as `propose_pins`."""
    hole = tolerance_class(designation)
    limits = limits_of_size(hole)
    sizes = pin_sizes(limits, wear_mm)
    to_buy = None if increment_mm is None else propose_pins(sizes, increment_mm, uncertainty_mm)
    return PinsForClass(str(hole), _sentence(limits), _rows(sizes, to_buy), _between(to_buy))


def _rows(sizes: PinSizes, to_buy: PinProposal | None) -> tuple[PinRow, ...]:
    rows = [PinRow("At the limit", plain(sizes.go_mm), plain(sizes.no_go_mm), "The least and the largest size allowed")]
    if sizes.wear_allowance_mm:
        why = "The go pin is made larger by the wear allowance and is worn out at the limit"
        rows.append(PinRow("New", plain(sizes.go_new_mm), plain(sizes.no_go_mm), why))
    if to_buy is not None:
        why = "The next sizes on the safe side, wear and uncertainty counted"
        rows.append(PinRow("To buy", plain(to_buy.go_to_buy_mm), plain(to_buy.no_go_to_buy_mm), why))
    return tuple(rows)


def _between(to_buy: PinProposal | None) -> str:
    return "" if to_buy is None else ", ".join(plain(size) for size in to_buy.between_mm)


def _sentence(limits: LimitsOfSize) -> str:
    span = f"{plain(limits.min_mm)} and {plain(limits.max_mm)} mm"
    return f"A good hole lies between {span}: the go pin enters, the no-go pin does not."
