"""Invented calibrations: one a year for each instrument, errors and pin diameters that differ a little each time."""

from collections.abc import Sequence
from datetime import timedelta
from decimal import Decimal
from typing import Protocol

from seed_demo.clock import Clock
from service.actions.calibrations import record_calibration
from service.actions.shop import Actor, Shop
from service.workshop.calibration import CalibratedPoint, FoundState
from service.workshop.vocabulary import InstrumentKind

INTERVAL_DAYS = 365
_EARLY_DAYS = 5
"""Each calibration is made so long before the last one runs out, so that no day is without."""
_LABORATORY = "Invented Calibration Laboratory"
_WAVES = (Decimal("0.1"), Decimal("0.4"), Decimal("-0.3"), Decimal("0.2"), Decimal("-0.2"))
"""Errors as parts of the expanded uncertainty; where an instrument drifted they grow over its range."""


class Calibrated(Protocol):
    """What is known of an instrument in the register of the demonstration."""

    @property
    def code(self) -> str: ...
    @property
    def kind(self) -> InstrumentKind: ...
    @property
    def expanded_uncertainty(self) -> str: ...
    @property
    def due_in_days(self) -> int: ...
    @property
    def lower(self) -> str: ...
    @property
    def upper(self) -> str: ...
    @property
    def interval_days(self) -> int: ...
    @property
    def drifted(self) -> bool: ...


def record_history(
    shop: Shop, manager: Actor, clock: Clock, one: Calibrated, founded_days_ago: int, pins: Sequence[Decimal]
) -> None:
    """Record its calibrations, the oldest first; the first was in force already when the shop was founded.

    The calibration at which an instrument failed is left to its own story: until then it measures.
    """
    days = _days_ago(one, founded_days_ago)
    for number, days_ago in enumerate(days):
        if not (one.drifted and days_ago == days[-1]):
            clock.at(min(days_ago, founded_days_ago))
            _record(shop, manager, clock, one, number, days_ago, _points(one, number, pins))


def record_failure(shop: Shop, manager: Actor, clock: Clock, one: Calibrated, founded_days_ago: int) -> None:
    """The last calibration of an instrument that drifted: found out of limits, so that it goes into quarantine."""
    days = _days_ago(one, founded_days_ago)
    clock.at(days[-1])
    _record(shop, manager, clock, one, len(days) - 1, days[-1], _points(one, len(days) - 1, (), drifted=True))


def _days_ago(one: Calibrated, founded_days_ago: int) -> list[int]:
    """The days of its calibrations, the oldest first."""
    days = [one.interval_days - one.due_in_days]
    while days[0] < founded_days_ago:
        days.insert(0, days[0] + one.interval_days - _EARLY_DAYS)
    return days


def _record(
    shop: Shop,
    manager: Actor,
    clock: Clock,
    one: Calibrated,
    number: int,
    days_ago: int,
    points: tuple[CalibratedPoint, ...],
) -> None:
    made = clock.today - timedelta(days=days_ago)
    failed = one.drifted and days_ago == one.interval_days - one.due_in_days
    record_calibration(
        shop,
        manager,
        code=one.code,
        certificate=f"INVENTED-{one.code}-{made.year}",
        calibrated_on=made,
        due=made + timedelta(days=one.interval_days),
        laboratory=_LABORATORY,
        expanded_uncertainty=Decimal(one.expanded_uncertainty),
        found=FoundState.OUT if failed else _found(one, number),
        points=points,
        remark="Sent back to be adjusted." if failed else "",
        version=number + 1,
    )


def _found(one: Calibrated, number: int) -> FoundState:
    adjusted = one.kind is InstrumentKind.PRESSURE_GAUGE and number == 1
    return FoundState.ADJUSTED if adjusted else FoundState.WITHIN


def _points(
    one: Calibrated, number: int, pins: Sequence[Decimal], *, drifted: bool = False
) -> tuple[CalibratedPoint, ...]:
    if one.kind is InstrumentKind.PIN_SET:
        return tuple(_pin(place, number, pin) for place, pin in enumerate(pins))
    if not one.upper:
        return ()
    lower, upper = Decimal(one.lower), Decimal(one.upper)
    uncertainty = Decimal(one.expanded_uncertainty)
    points = []
    for step in range(5):
        part = _WAVES[(step + number) % len(_WAVES)] + (Decimal(2 * step) if drifted else 0)
        error = (uncertainty * part).quantize(uncertainty / 10 if uncertainty < 1 else Decimal("0.1"))
        points.append(CalibratedPoint(nominal=lower + (upper - lower) * step / 4, error=error))
    return tuple(points)


def _pin(place: int, number: int, pin: Decimal) -> CalibratedPoint:
    """No two pins are alike, and each wears a little: 0.1 µm a year."""
    made = Decimal((place * 7) % 11 - 4) / 10_000
    return CalibratedPoint(nominal=pin, error=made - Decimal(number) / 10_000)
