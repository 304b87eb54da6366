"""Spread and flow area of spray holes against the Monte Carlo method of JCGM 101:2008 (clause 7, from memory).

The budget propagates standard uncertainties by the law of JCGM 100, 5.1 and 5.2; the Monte Carlo method draws the
sizes themselves: each hole anywhere in its bracket (rectangle, JCGM 101, 6.4.2), one error of the pins for all holes.
"""

from decimal import Decimal as D

import numpy as np
import pytest

from service.metrology.flow_area import area_bounds, flow_area
from service.metrology.gauge_pins import CalibratedPin
from service.metrology.hole_brackets import CalibratedPass, HoleSize, hole_size, hole_spread

DRAWS = 200_000
BRACKETS = {
    "all holes alike": [("0.850", "0.860")] * 6,
    "one hole worn": [("0.850", "0.860")] * 5 + [("0.870", "0.880")],
    "coarse pins": [("0.30", "0.32"), ("0.30", "0.32"), ("0.32", "0.33"), ("0.29", "0.32")],
}


def gauged(brackets: list[tuple[str, str]], uncertainty: str) -> list[HoleSize]:
    """One nozzle by its brackets, every pin with that U (k = 2)."""
    return [
        hole_size(
            str(number),
            [
                CalibratedPass(CalibratedPin("P", D(size), D(size), D(uncertainty)), enters)
                for size, enters in ((entering, True), (refused, False))
            ],
        )
        for number, (entering, refused) in enumerate(brackets, start=1)
    ]


def drawn(brackets: list[tuple[str, str]], uncertainty: str) -> np.ndarray[tuple[int, int], np.dtype[np.float64]]:
    """Sizes that the holes may have, a row for each draw, mm."""
    chance = np.random.default_rng(20260302)
    ends = np.array(brackets, dtype=float)
    inside = chance.uniform(ends[:, 0], ends[:, 1], (DRAWS, len(brackets)))
    common = chance.normal(0, float(uncertainty) / 2, (DRAWS, 1))
    return np.asarray(inside + common)


@pytest.mark.parametrize("uncertainty", ["0.0005", "0.004"])
@pytest.mark.parametrize("brackets", BRACKETS.values(), ids=BRACKETS)
def test_the_flow_area_and_its_uncertainty_are_those_of_the_monte_carlo_method(
    brackets: list[tuple[str, str]], uncertainty: str
) -> None:
    areas = (np.pi / 4 * drawn(brackets, uncertainty) ** 2).sum(axis=1)
    found = flow_area(gauged(brackets, uncertainty))
    # The area at the middle leaves out u² ÷ d², the square of a size that is spread: here under 0.05 %.
    assert float(found.area_mm2) == pytest.approx(areas.mean(), rel=5e-4)
    assert float(found.standard_uncertainty_mm2) == pytest.approx(areas.std(), rel=0.01)


@pytest.mark.parametrize("brackets", BRACKETS.values(), ids=BRACKETS)
def test_hardly_any_draw_lies_beyond_the_bounds_of_area_and_spread(brackets: list[tuple[str, str]]) -> None:
    holes, sizes = gauged(brackets, "0.001"), drawn(brackets, "0.001")
    least, most = area_bounds(holes)
    areas = (np.pi / 4 * sizes**2).sum(axis=1)
    assert ((areas < float(least)) | (areas > float(most))).mean() < 0.001
    spreads, bounds = sizes.max(axis=1) - sizes.min(axis=1), hole_spread(holes)
    assert spreads.min() >= float(bounds.least_mm)
    assert spreads.max() <= float(bounds.most_mm)
