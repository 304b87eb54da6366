"""Limits for brackets, spread and flow area that make no sense keep a sheet from being approved."""

from dataclasses import replace
from decimal import Decimal as D
from typing import Any

import pytest

from service.workshop.sheet_checks import sheet_faults
from tests.small_sheet import SMALL_SHEET


def faults(**limits: Any) -> list[str]:
    """Of the small sheet with its spray holes changed."""
    items = [replace(one, **limits) if one.key == "nozzle-holes" else one for one in SMALL_SHEET.characteristics]
    found = sheet_faults(replace(SMALL_SHEET, characteristics=tuple(items)))
    assert all(fault.place == "characteristics.nozzle-holes" for fault in found)
    return [fault.sentence for fault in found]


@pytest.mark.parametrize(
    "limits",
    [
        {"nominal": D("0.86")},
        {"spread_limit": D("0.03")},
        {"nominal": D("0.86"), "area_least": D(95), "area_most": D(110)},
        {"designation": "0.85 H11", "wear_allowance": D("0.002"), "area_most": D(110)},
    ],
)
def test_sound_limits_are_no_fault(limits: dict[str, Any]) -> None:
    assert faults(**limits) == []


@pytest.mark.parametrize(
    ("limits", "words"),
    [
        ({"nominal": D("0.85"), "designation": "0.85 H11"}, "not both"),
        ({"nominal": D(0)}, "above 0 and up to 10 mm"),
        ({"nominal": D(9000)}, "above 0 and up to 10 mm"),
        ({"spread_limit": D(-1)}, "spread of the holes allowed lies above 0"),
        ({"wear_allowance": D("0.002")}, "give the class as well"),
        ({"designation": "0.85 I11"}, "no tolerance class I"),
        ({"designation": "0.85 h11"}, "give a capital letter"),
        ({"designation": "25 H7"}, "at most 10 mm"),
        ({"designation": "0.85 H11", "wear_allowance": D("0.06")}, "leaves nothing of the tolerance"),
        ({"designation": "0.86 H11"}, "go pin is under the least size 0.86 mm of 0.86 H11"),
        ({"designation": "0.85 H9"}, "reject pin is over the largest size 0.875 mm of 0.85 H9"),
        ({"area_most": D(110)}, "in per cent of nominal: give the nominal diameter"),
        ({"nominal": D("0.86"), "area_least": D(0)}, "such as 95 and 110"),
        ({"nominal": D("0.86"), "area_least": D(110), "area_most": D(95)}, "is not under the most 95 %"),
    ],
)
def test_limits_that_make_no_sense_are_told(limits: dict[str, Any], words: str) -> None:
    assert [sentence for sentence in faults(**limits) if words in sentence], faults(**limits)
