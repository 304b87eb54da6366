"""The small sheet with a spring, its diameters and discs, in force. The figures are invented.

Guide 8 mm over a seat of 4.5 mm is 34.36 mm², so 100 N/mm give 29.1 bar for each mm of disc.
"""

from dataclasses import replace
from decimal import Decimal as D

from service.actions.sheets import approve_draft, open_draft, save_draft
from service.actions.shop import Shop
from service.workshop.step_results import OpeningPressureResult
from tests.registered_fleet import Fleet
from tests.small_sheet import SMALL_SHEET, TYPE_CODE

SETTING = {
    "spring_rate_n_per_mm": D(100),
    "guide_mm": D(8),
    "seat_mm": D("4.5"),
    "discs_mm": (D("0.20"), D("0.50"), D("0.60")),
}


def put_in_force(shop: Shop, fleet: Fleet) -> None:
    """Approve it, so that every injector received afterwards is worked by it."""
    open_draft(shop, fleet.manager, type_code=TYPE_CODE)
    plan = replace(SMALL_SHEET.test_plan, **SETTING)  # type: ignore[arg-type]
    save_draft(shop, fleet.manager, replace(SMALL_SHEET, test_plan=plan), version=1)
    approve_draft(shop, fleet.manager, type_code=TYPE_CODE, version=2)


def strokes(bar: str) -> OpeningPressureResult:
    """Three steady strokes."""
    return OpeningPressureResult(strokes_bar=(D(bar),) * 3)
