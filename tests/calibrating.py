"""Calibrations recorded in tests, each with a number of its own. All invented."""

import itertools
from datetime import date
from decimal import Decimal
from typing import Any

from service.actions.calibrations import CalibrationRecorded, record_calibration
from service.actions.shop import Shop
from service.records.instrument_reads import InstrumentHistory, instrument_history
from service.workshop.calibration import FoundState
from tests.registered_fleet import Fleet

_numbers = itertools.count(1)


def history(shop: Shop, code: str = "MIC-1") -> InstrumentHistory:
    """The instrument as it stands, with its calibrations."""
    with shop.store.reading() as session:
        found = instrument_history(session, code)
    assert found is not None
    return found


def calibrate(shop: Shop, fleet: Fleet, code: str = "MIC-1", **changes: Any) -> CalibrationRecorded:
    """A calibration of today, due in a year, found within limits, unless `changes` says otherwise."""
    today = shop.now().date()
    fields: dict[str, Any] = {
        "certificate": f"CAL-{next(_numbers):04d}",
        "calibrated_on": today,
        "due": date(today.year + 1, today.month, today.day),
        "laboratory": "Invented Laboratory",
        "expanded_uncertainty": Decimal("0.002"),
        "found": FoundState.WITHIN,
        "version": history(shop, code).row.version,
    }
    actor = changes.pop("actor", fleet.manager)
    return record_calibration(shop, actor, code=code, **{**fields, **changes})
