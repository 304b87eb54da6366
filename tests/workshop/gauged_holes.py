"""Holes of the small sheet gauged with five pins of calibrated diameters. All invented."""

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

from service.workshop.decision_rule import DecisionRule
from service.workshop.examination import examine
from service.workshop.limit_sheet import PinCharacteristic
from service.workshop.measurements import CalibratedPin, Outcome, PinMeasurement, PinTried
from service.workshop.nozzle_found import NozzleFound
from tests.small_sheet import INSTRUMENTS, SMALL_SHEET

MARKS = tuple(D(mark) for mark in ("0.84", "0.85", "0.86", "0.87", "0.88"))
SHEETS = SMALL_SHEET.characteristic_by_key["nozzle-holes"]
assert isinstance(SHEETS, PinCharacteristic)
ITEM = replace(SHEETS, pins=MARKS)


def sheet(**limits: Any) -> PinCharacteristic:
    """The small sheet's holes with further limits."""
    return replace(ITEM, **{name: D(one) if name != "designation" else one for name, one in limits.items()})


def gauged(*holes: str, **diameters: str) -> PinMeasurement:
    """Each hole as `een..`: for each pin of `MARKS` enters, not, or a dot where it was not tried.

    `diameters` are calibrated ones, as `d85="0.8497"`.
    """
    answers = {"e": True, "n": False}
    passes = tuple(
        PinTried(hole=hole, pin=mark, enters=answers[sign])
        for hole, signs in enumerate(holes, start=1)
        for mark, sign in zip(MARKS, signs, strict=True)
        if sign in answers
    )
    found = {mark: D(diameters.get(f"d{mark * 100:.0f}", str(mark))) for mark in MARKS}
    calibrated = tuple(CalibratedPin(nominal=mark, diameter=diameter) for mark, diameter in found.items())
    return PinMeasurement(passes=passes, instrument=INSTRUMENTS["PINS-1"], calibrated=calibrated)


def judged(item: PinCharacteristic, measured: PinMeasurement) -> Outcome:
    """The verdict, under the usual rule."""
    return examine(item, measured, DecisionRule())


def nozzle(outcome: Outcome) -> NozzleFound:
    """What is kept of the nozzle."""
    assert outcome.nozzle is not None
    return outcome.nozzle
