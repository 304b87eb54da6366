"""The demonstration has cuts enough on one type that a technician sees a forecast, and a face that bears none."""

import pytest

from seed_demo.recut_stories import GROUND_SERIAL
from service.pages.overhauls.seat_view import seats_shown
from service.records.overhaul_store import LoadedOverhaul
from service.records.store import Store

pytestmark = pytest.mark.xdist_group("demo")


def _height(demo: Store, overhauls: list[LoadedOverhaul], serial: str) -> dict[str, str]:
    newest = [one for one in overhauls if one.unit.serial == serial][-1]
    seat = next(one for one in seats_shown(demo, newest)["housing"] if "height" in one.title)
    return {"remaining": seat.remaining, "forecast": seat.forecast, "warning": seat.warning}


def test_a_face_worn_again_bears_a_few_cuts_more(demo: Store, overhauls: list[LoadedOverhaul]) -> None:
    told = _height(demo, overhauls, GROUND_SERIAL)
    assert told["remaining"].startswith("0.18 mm to the rework limit of 39.4 mm")
    assert told["forecast"].startswith("Likely, no promise: 2 to 3 more recuts")
    assert "going by 9 cuts of 0.04 to 0.07 mm" in told["forecast"]
    assert told["warning"] == ""


def test_a_face_too_low_for_another_cut_says_so_before_it_is_made(demo: Store, overhauls: list[LoadedOverhaul]) -> None:
    assert _height(demo, overhauls, "CS-7021")["warning"].startswith("A recut would leave no metal")
