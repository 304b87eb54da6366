"""An instrument is refused at entry with its reason and a remedy, or taken with everything it was judged by."""

from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from typing import Any

import pytest

from service.workshop.calibration import CalibratedPoint, Calibration, FoundState, InstrumentState
from service.workshop.instrument_fitness import (
    InstrumentRefused,
    RegisteredInstrument,
    calibrated_pins,
    fit_for_reading,
    range_in_words,
)
from service.workshop.measurements import CalibratedPin
from service.workshop.vocabulary import InstrumentKind

TODAY = date(2026, 3, 2)
MICROMETER = RegisteredInstrument(
    code="MM-1",
    kind=InstrumentKind.MICROMETER,
    unit="mm",
    lower=D(0),
    upper=D(25),
    resolution=D("0.001"),
)
CALIBRATION = Calibration(
    certificate="CAL-1",
    on=date(2026, 1, 5),
    due=date(2027, 1, 5),
    laboratory="Lab",
    expanded_uncertainty=D("0.0021"),
    k=D("2.1"),
    found=FoundState.WITHIN,
)
PINS = RegisteredInstrument(
    code="PS-1", kind=InstrumentKind.PIN_SET, unit="mm", pins=frozenset({D("0.84"), D("0.85"), D("0.88")})
)


def take(instrument: RegisteredInstrument = MICROMETER, calibration: Calibration | None = CALIBRATION, **more: Any):
    """Take it for a reading of 5.996 mm."""
    asked: dict[str, Any] = {"kinds": (InstrumentKind.MICROMETER,), "unit": "mm", "values": (D("5.996"),), "on": TODAY}
    return fit_for_reading(instrument, calibration, field="instrument", **{**asked, **more})


def test_a_reading_keeps_uncertainty_k_day_resolution_and_range_as_they_stood():
    use = take()
    assert (use.expanded_uncertainty, use.k, use.calibration) == (D("0.0021"), D("2.1"), "CAL-1")
    assert (use.calibrated_on, use.due) == (date(2026, 1, 5), date(2027, 1, 5))
    assert (use.resolution, use.lower, use.upper) == (D("0.001"), D(0), D(25))


@pytest.mark.parametrize(
    ("instrument", "calibration", "more", "code", "remedy"),
    [
        (MICROMETER, None, {}, "no-calibration", "have it calibrated"),
        (MICROMETER, CALIBRATION, {"on": date(2027, 1, 6)}, "calibration-due", "take another or calibrate it"),
        (
            replace(MICROMETER, state=InstrumentState.QUARANTINED, reason="Dropped."),
            CALIBRATION,
            {},
            "instrument-quarantined",
            "in quarantine (Dropped): take another, or ask a manager to release it",
        ),
        (
            replace(MICROMETER, state=InstrumentState.WITHDRAWN),
            CALIBRATION,
            {},
            "instrument-withdrawn",
            "take another",
        ),
        (MICROMETER, CALIBRATION, {"kinds": (InstrumentKind.BORE_GAUGE,)}, "instrument-kind", "needs a bore gauge"),
        (MICROMETER, CALIBRATION, {"unit": "N/mm"}, "instrument-unit", "take another"),
        (MICROMETER, CALIBRATION, {"values": (D("25.001"),)}, "instrument-range", "0 to 25 mm"),
        (MICROMETER, CALIBRATION, {"values": (D(1), D("-0.001"))}, "instrument-range", "that reaches it"),
    ],
)
def test_an_instrument_that_is_not_fit_is_refused_with_the_remedy(instrument, calibration, more, code, remedy):
    with pytest.raises(InstrumentRefused) as refusal:
        take(instrument, calibration, **more)
    assert (refusal.value.code, refusal.value.field) == (code, "instrument")
    assert remedy in refusal.value.sentence


def test_the_ends_of_the_range_and_the_due_day_are_inside():
    assert take(values=(D(0), D(25)), on=date(2027, 1, 5)).code == "MM-1"
    assert take(replace(MICROMETER, lower=None, upper=None), values=(D(400),)).code == "MM-1"


def test_tried_pins_come_with_the_diameters_of_the_calibration():
    points = tuple(
        CalibratedPoint(nominal=nominal, error=error)
        for nominal, error in ((D("0.84"), D("0.0003")), (D("0.85"), D("-0.0002")))
    )
    calibration = replace(CALIBRATION, points=points)
    pins = calibrated_pins(PINS, calibration, (D("0.850"), D("0.84"), D("0.85")), "instrument")
    assert pins == (
        CalibratedPin(nominal=D("0.84"), diameter=D("0.8403")),
        CalibratedPin(nominal=D("0.85"), diameter=D("0.8498")),
    )
    for pin, code in ((D("0.88"), "pin-not-calibrated"), (D("0.86"), "pin-not-in-set")):
        with pytest.raises(InstrumentRefused) as refusal:
            calibrated_pins(PINS, calibration, (pin,), "instrument")
        assert refusal.value.code == code


def test_a_set_whose_pins_were_never_listed_is_taken_as_the_first_release_took_it():
    assert calibrated_pins(replace(PINS, pins=None), CALIBRATION, (D("0.86"),), "instrument") == ()


@pytest.mark.parametrize(
    ("lower", "upper", "words"),
    [(D(0), D(25), "0 to 25 mm"), (None, D(25), "up to 25 mm"), (D("0.30"), None, "from 0.3 mm"), (None, None, "")],
)
def test_a_range_is_said_in_words(lower, upper, words):
    assert range_in_words(lower, upper, "mm") == words
