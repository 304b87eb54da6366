"""What an injector is expected to open at when its next overhaul is due, and whether that is still in its band."""

from dataclasses import replace
from decimal import Decimal as D

import pytest

from service.hydraulics.expected_opening import Outlook
from service.workshop.limit_sheet import LimitSheet
from service.workshop.opening_history import OpeningVisit
from service.workshop.opening_outlook import DueBy, coming_drift, expected_at_next, next_due
from tests.small_sheet import SMALL_SHEET


def _seen(hours: int | None, found: str, left: str) -> OpeningVisit:
    found_bar, left_bar = (D(bar) if bar else None for bar in (found, left))
    return OpeningVisit(overhaul_id=1, hours=hours, as_found_bar=found_bar, as_left_bar=left_bar)


def _sheet(lower: str = "335", upper: str = "365", hours: int | None = None) -> LimitSheet:
    plan = replace(SMALL_SHEET.test_plan, opening_lower_bar=D(lower), opening_upper_bar=D(upper))
    return replace(SMALL_SHEET, test_plan=plan, overhaul_hours=hours)


VISITS = [_seen(8000, "330", "350"), _seen(8000, "342", "351"), _seen(6000, "345", "352"), _seen(10_000, "341", "350")]
"""Σh·Δp / Σh² over (8, -8), (6, -6), (10, -11) in thousands of hours: -210 / 200 = -1.05 bar in 1000 h."""


def test_the_limit_sheets_hours_go_before_the_injectors_own() -> None:
    own, stated = next_due(VISITS, _sheet()), next_due(VISITS, _sheet(hours=12_000))
    assert own is not None
    assert stated is not None
    assert (own.hours, own.by) == (8000, DueBy.OWN_HOURS)
    assert (stated.hours, stated.by) == (12_000, DueBy.LIMIT_SHEET)
    assert next_due([_seen(None, "", "350")], _sheet()) is None


def test_the_drift_is_reckoned_over_the_hours_until_the_next_overhaul() -> None:
    own, stated = coming_drift(VISITS, _sheet()), coming_drift(VISITS, _sheet(hours=12_000))
    assert own is not None
    assert stated is not None
    assert own.change.change_bar == pytest.approx(-8.4)
    assert stated.change.change_bar == pytest.approx(-12.6)
    assert stated.change.upper_bar - stated.change.lower_bar > own.change.upper_bar - own.change.lower_bar
    assert (own.drawn_on, stated.drawn_on, stated.longest_hours) == (False, True, 10_000)
    assert coming_drift(VISITS[:3], _sheet(hours=8000)) is None, "two times in service say nothing"


@pytest.mark.parametrize(
    ("lower", "upper", "outlook", "after"),
    [
        ("335", "365", Outlook.INSIDE, None),
        ("341", "365", Outlook.MAY_LEAVE, None),
        ("345", "365", Outlook.LEAVES, 8000 * 5 / 8.4),
        ("351", "365", Outlook.LEFT_OUTSIDE, None),
        ("300", "349", Outlook.LEFT_OUTSIDE, None),
    ],
)
def test_what_is_expected_is_held_against_the_band(
    lower: str, upper: str, outlook: Outlook, after: float | None
) -> None:
    # Left at 350, expected at 341.6; the interval is s² = 0.25, t(0.975, 2) = 4.303 and so about 2.5 bar wide each way.
    found = expected_at_next(VISITS, _sheet(lower, upper))
    assert found is not None
    assert found.bar == pytest.approx(341.6)
    assert 338 < found.lower_bar < found.bar < found.upper_bar < 345
    assert found.outlook is outlook
    assert found.leaves_after_hours == (None if after is None else pytest.approx(after))


def test_a_pressure_that_climbs_leaves_the_band_at_its_upper_limit() -> None:
    climbing = [_seen(8000, "350", "350"), *(_seen(8000, "358", "350") for _ in range(3))]
    found = expected_at_next(climbing, _sheet("335", "354"))
    assert found is not None
    assert found.outlook is Outlook.LEAVES
    assert found.leaves_after_hours == pytest.approx(4000)


def test_an_injector_that_is_not_set_yet_is_taken_to_be_set_as_the_sheet_wants_it() -> None:
    found = expected_at_next([*VISITS, _seen(8000, "342", "")], _sheet())
    assert found is not None
    assert (found.supposed, found.as_left_bar) == (True, 350)
    assert found.bar == pytest.approx(350 + found.change.change_bar)
