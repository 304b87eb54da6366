"""Entries as the first release stored them are read for ever.

`first_release_entries.json` was written by the code of the first release (commit c694ff4), one entry of every kind.
"""

import json
from pathlib import Path
from typing import Any

import pytest

from service.records.json_text import canonical, content_from_json, content_to_json
from service.workshop.entries import Examined
from service.workshop.measurements import InstrumentUse, PinMeasurement
from service.workshop.narration import instruments_of

STORED: list[dict[str, Any]] = json.loads(Path(__file__).with_name("first_release_entries.json").read_text("utf-8"))


@pytest.mark.parametrize("stored", STORED, ids=lambda stored: str(stored["kind"]))
def test_every_stored_fact_is_read_again_digit_for_digit(stored: dict[str, Any]) -> None:
    content = content_from_json(canonical(stored))
    assert _holds(json.loads(content_to_json(content)), stored)


def test_an_instrument_used_under_the_first_release_had_k_2_and_no_day_range_or_resolution() -> None:
    uses = [use for stored in STORED for use in instruments_of(content_from_json(canonical(stored)))]
    assert uses
    for use in uses:
        assert isinstance(use, InstrumentUse)
        assert (use.k, use.calibrated_on, use.resolution, use.lower, use.upper) == (2, None, None, None, None)


def test_a_pin_reading_of_the_first_release_knows_no_calibrated_diameters() -> None:
    contents = [content_from_json(canonical(stored)) for stored in STORED]
    readings = [content.measurement for content in contents if isinstance(content, Examined)]
    pins = [reading for reading in readings if isinstance(reading, PinMeasurement)]
    assert pins
    assert all(reading.calibrated == () for reading in pins)


def _holds(now: Any, then: Any) -> bool:
    """Whether everything that was stored then stands there still; more may stand beside it."""
    if isinstance(then, dict):
        return isinstance(now, dict) and all(name in now and _holds(now[name], then[name]) for name in then)
    if isinstance(then, list):
        return len(now) == len(then) and all(_holds(one, other) for one, other in zip(now, then, strict=True))
    return bool(now == then)
