"""The pins of gauge pin sets by the diameters of the calibration in force on a day."""

from collections.abc import Sequence
from datetime import date

from service.metrology.gauge_pins import CalibratedPin
from service.records.calibration_store import calibrations_of
from service.records.registers import instrument_by_code
from service.records.store import Store
from service.workshop.calibration import in_force


def pins_of_sets(store: Store, codes: Sequence[str], on: date) -> dict[str, tuple[CalibratedPin, ...]]:
    """By the set's code its pins with diameters in mm, smallest first; empty where the calibration names none."""
    found: dict[str, tuple[CalibratedPin, ...]] = {}
    with store.reading() as session:
        for code in codes:
            row = instrument_by_code(session, code)
            calibration = None if row is None else in_force(calibrations_of(session, row.id or 0), on)
            if calibration is not None:
                uncertainty, k = calibration.covering
                found[code] = tuple(
                    CalibratedPin(code, one.nominal, one.diameter, uncertainty, k) for one in calibration.points
                )
    return found
