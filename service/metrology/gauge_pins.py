"""Go and no-go gauge pins for a tolerance class of holes: their sizes, their wear, which to buy and which to use.

Millimetres. That the go gauge is made larger than its limit by a wear allowance is common practice, no source.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from enum import StrEnum

from service.metrology.conformity import Conforms, DoesNotConform, NotProven, judge
from service.metrology.errors import MetrologyError
from service.metrology.limits_and_fits import LimitsOfSize
from service.metrology.typed_numbers import plain

_MOST_BETWEEN = 100


class PinRole(StrEnum):
    """What a pin is tried for: the go pin must enter the hole, the no-go pin must not."""

    GO = "go"
    NO_GO = "no-go"


@dataclass(frozen=True, slots=True)
class CalibratedPin:
    """A pin by its code: the size marked on it, the diameter by its certificate with U and k, in mm."""

    code: str
    marked_mm: Decimal
    diameter_mm: Decimal
    expanded_uncertainty_mm: Decimal
    k: Decimal = Decimal(2)

    def __post_init__(self) -> None:
        for field, number in (("marked_mm", self.marked_mm), ("diameter_mm", self.diameter_mm), ("k", self.k)):
            if not number.is_finite() or number <= 0:
                raise MetrologyError(
                    "pin-size-not-positive",
                    f"Pin {self.code} has {plain(number)} as its {field.split('_')[0]}: enter what is over zero.",
                    field,
                )
        if not self.expanded_uncertainty_mm.is_finite() or self.expanded_uncertainty_mm < 0:
            raise MetrologyError(
                "uncertainty-negative",
                f"Pin {self.code} has U = {plain(self.expanded_uncertainty_mm)} mm: enter zero or more.",
                "expanded_uncertainty_mm",
            )

    @property
    def standard_uncertainty_mm(self) -> Decimal:
        """u = U ÷ k: JCGM 100, 6.2.1."""
        return self.expanded_uncertainty_mm / self.k


@dataclass(frozen=True, slots=True)
class PinSizes:
    """The two limits that the pins embody, and how much the go pin may wear before it reaches its own."""

    go_mm: Decimal
    no_go_mm: Decimal
    wear_allowance_mm: Decimal

    @property
    def go_new_mm(self) -> Decimal:
        """The go pin when new: its limit and the wear allowance above it."""
        return self.go_mm + self.wear_allowance_mm


@dataclass(frozen=True, slots=True)
class PinFitness:
    """Whether a pin may serve in its role, and what it costs.

    `verdict` conforms when the pin proves the limit in spite of its uncertainty: a go pin not under the least
    size, a no-go pin not over the largest. `tolerance_lost_mm` is how much of the tolerance it refuses for nothing.
    """

    pin: CalibratedPin
    role: PinRole
    verdict: Conforms | NotProven | DoesNotConform
    tolerance_lost_mm: Decimal

    @property
    def usable(self) -> bool:
        """Only a pin that proves its limit is used."""
        return isinstance(self.verdict, Conforms)

    @property
    def wear_left_mm(self) -> Decimal:
        """How much a go pin can still lose and stay proven; negative when it is worn out. A no-go pin wears
        to the safe side, so that it refuses more and more."""
        return self.tolerance_lost_mm - self.pin.expanded_uncertainty_mm


@dataclass(frozen=True, slots=True)
class PinProposal:
    """For one class: the sizes to order, the owned pins that serve as well, and the sizes between for a bracket."""

    sizes: PinSizes
    go_to_buy_mm: Decimal
    no_go_to_buy_mm: Decimal
    go_owned: CalibratedPin | None
    no_go_owned: CalibratedPin | None
    between_mm: tuple[Decimal, ...]


def pin_sizes(limits: LimitsOfSize, wear_allowance_mm: Decimal = Decimal(0)) -> PinSizes:
    """Go at the least size of the hole (maximum material), no-go at its largest: ISO 286-1:2010, 3.2.

    Raises MetrologyError `class-not-a-hole` (field `designation`), `wear-allowance-out-of-range`.
    """
    if limits.kind != "hole":
        raise MetrologyError(
            "class-not-a-hole",
            "Gauge pins try holes, and a small letter is a shaft: give a capital letter, such as 0.85 H9.",
            "designation",
        )
    if not wear_allowance_mm.is_finite() or not 0 <= wear_allowance_mm < limits.tolerance_mm:
        raise MetrologyError(
            "wear-allowance-out-of-range",
            f"A wear allowance of {plain(wear_allowance_mm)} mm leaves nothing of the tolerance of "
            f"{plain(limits.tolerance_mm)} mm, or is under zero: give less.",
            "wear_allowance",
        )
    return PinSizes(limits.min_mm, limits.max_mm, wear_allowance_mm)


def judge_pin(pin: CalibratedPin, role: PinRole, sizes: PinSizes) -> PinFitness:
    """Judge a calibrated pin for a role by its own U as the guard band: ISO 14253-1, one-sided.

    Only the dangerous side is judged; the other is told as the tolerance that is lost.
    """
    if role is PinRole.GO:
        verdict = judge(pin.diameter_mm, sizes.go_mm, None, pin.expanded_uncertainty_mm, Decimal(1))
        return PinFitness(pin, role, verdict, pin.diameter_mm - sizes.go_mm)
    verdict = judge(pin.diameter_mm, None, sizes.no_go_mm, pin.expanded_uncertainty_mm, Decimal(1))
    return PinFitness(pin, role, verdict, sizes.no_go_mm - pin.diameter_mm)


def propose_pins(
    sizes: PinSizes,
    increment_mm: Decimal,
    expanded_uncertainty_mm: Decimal,
    owned: Sequence[CalibratedPin] = (),
) -> PinProposal:
    """Which pins serve a class: sizes to order on the increment of the sets sold, and owned pins as good as those.

    The go size is the first at or over limit + wear allowance + U, the no-go size the last at or under limit − U.
    An owned pin is proposed when it proves its limit and gives away no more of the tolerance than the pin to buy
    and its U; of several the one that gives away least, then the first by code.
    Raises MetrologyError `increment-not-positive`, `uncertainty-negative`, `pins-meet`, `increment-too-fine`.
    """
    if not increment_mm.is_finite() or increment_mm <= 0:
        raise MetrologyError(
            "increment-not-positive", f"Pins cannot step by {plain(increment_mm)} mm: give over zero.", "increment"
        )
    if not expanded_uncertainty_mm.is_finite() or expanded_uncertainty_mm < 0:
        raise MetrologyError(
            "uncertainty-negative", f"U is {plain(expanded_uncertainty_mm)} mm: give zero or more.", "uncertainty"
        )
    go = _on_increment(sizes.go_new_mm + expanded_uncertainty_mm, increment_mm, ROUND_CEILING)
    no_go = _on_increment(sizes.no_go_mm - expanded_uncertainty_mm, increment_mm, ROUND_FLOOR)
    if go >= no_go:
        raise MetrologyError(
            "pins-meet",
            f"Wear, uncertainty and steps of {plain(increment_mm)} mm use up the whole tolerance: "
            "take finer steps, a smaller allowance or better calibrated pins.",
            "increment",
        )
    steps = int((no_go - go) / increment_mm) - 1
    if steps > _MOST_BETWEEN:
        raise MetrologyError(
            "increment-too-fine",
            f"Steps of {plain(increment_mm)} mm make {steps} pins between the two: take wider steps.",
            "increment",
        )
    go_lost = go - sizes.go_mm + expanded_uncertainty_mm
    no_go_lost = sizes.no_go_mm - no_go + expanded_uncertainty_mm
    return PinProposal(
        sizes,
        go,
        no_go,
        _best_owned(owned, PinRole.GO, sizes, go_lost),
        _best_owned(owned, PinRole.NO_GO, sizes, no_go_lost),
        tuple(go + number * increment_mm for number in range(1, steps + 1)),
    )


def _best_owned(
    owned: Sequence[CalibratedPin], role: PinRole, sizes: PinSizes, most_lost: Decimal
) -> CalibratedPin | None:
    judged = [judge_pin(pin, role, sizes) for pin in owned]
    serving = [one for one in judged if one.usable and one.tolerance_lost_mm <= most_lost]
    best = min(serving, key=lambda one: (one.tolerance_lost_mm, one.pin.code), default=None)
    return None if best is None else best.pin


def _on_increment(size_mm: Decimal, increment_mm: Decimal, rounding: str) -> Decimal:
    return (size_mm / increment_mm).to_integral_value(rounding=rounding) * increment_mm
