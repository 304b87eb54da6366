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
"""Errors as parts of the expanded uncertainty."""


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
    """Record its calibrations, the oldest first; the first was in force already when the shop was founded."""
    days = [one.interval_days - one.due_in_days]
    while days[-1] < founded_days_ago:
        days.append(days[-1] + one.interval_days - _EARLY_DAYS)
    for number, days_ago in enumerate(reversed(days)):
        last = number == len(days) - 1
        clock.at(min(days_ago, founded_days_ago))
        made = clock.today - timedelta(days=days_ago)
        record_calibration(
            shop,
            manager,
            code=one.code,
            certificate=f"INVENTED-{one.code}-{made.year}",
            calibrated_on=made,
            due=made + timedelta(days=one.interval_days),
            laboratory=_LABORATORY,
            expanded_uncertainty=Decimal(one.expanded_uncertainty),
            found=_found(one, number, last),
            points=_points(one, number, pins, drifted=last and one.drifted),
            remark="Sent back to be adjusted." if last and one.drifted else "",
            version=number + 1,
        )


def _found(one: Calibrated, number: int, last: bool) -> FoundState:
    if last and one.drifted:
        return FoundState.OUT
    adjusted = one.kind is InstrumentKind.PRESSURE_GAUGE and number == 1
    return FoundState.ADJUSTED if adjusted else FoundState.WITHIN


def _points(one: Calibrated, number: int, pins: Sequence[Decimal], *, drifted: bool) -> tuple[CalibratedPoint, ...]:
    if one.kind is InstrumentKind.PIN_SET:
        return tuple(_pin(place, number, pin) for place, pin in enumerate(pins))
    if not one.upper:
        return ()
    lower, upper = Decimal(one.lower), Decimal(one.upper)
    uncertainty = Decimal(one.expanded_uncertainty)
    points = []
    for step in range(5):
        part = _WAVES[(step + number) % len(_WAVES)] + (Decimal(step) if drifted else 0)
        error = (uncertainty * part).quantize(uncertainty / 10 if uncertainty < 1 else Decimal("0.1"))
        points.append(CalibratedPoint(nominal=lower + (upper - lower) * step / 4, error=error))
    return tuple(points)


def _pin(place: int, number: int, pin: Decimal) -> CalibratedPoint:
    """No two pins are alike, and each wears a little: 0.1 µm a year."""
    made = Decimal((place * 7) % 11 - 4) / 10_000
    return CalibratedPoint(nominal=pin, error=made - Decimal(number) / 10_000)
