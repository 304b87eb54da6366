"""The uncertainty of a hole image is neither too small nor boastful, and each source shows in the budget."""

import numpy as np
import pytest

from seed_demo.rendered_hole import Hole, Photograph, photograph
from service.metrology.hole_image.evaluation import evaluate_hole
from service.metrology.hole_image.scale import Scale

HOLE = Hole(150.3, 129.6, 153, 147, 30)
SHOT = Photograph(300, 260, ground=0.6, hole=0.15, blur=1.5, noise=0.02)


def share(measured_budget: object, source: str) -> float:
    return next(part.standard_um for part in measured_budget if part.source == source)  # type: ignore[attr-defined]


def test_the_scatter_in_the_budget_is_what_repeated_photographs_scatter() -> None:
    """Forty photographs that differ by their noise alone: the figure from one picture against their deviation."""
    found = [evaluate_hole(photograph(HOLE, SHOT.with_(seed=seed)), Scale(1.0, 0.0)) for seed in range(40)]
    stated = np.mean([share(one.mean_diameter.budget, "scatter of the edge") for one in found])
    seen = np.std([one.mean_diameter.value_px for one in found], ddof=1)
    assert 0.6 < stated / seen < 1.7
    stated = np.mean([share(one.ovality.budget, "scatter of the edge") for one in found])
    seen = np.std([one.ovality.value_px for one in found], ddof=1)
    assert 0.6 < stated / seen < 1.7


def test_an_uncertain_scale_makes_an_uncertain_hole_in_its_proportion() -> None:
    picture = photograph(HOLE, SHOT)
    sure, unsure = evaluate_hole(picture, Scale(2.0, 0.0)), evaluate_hole(picture, Scale(2.0, 0.02))
    assert sure.mean_diameter.value_um == unsure.mean_diameter.value_um == 2 * sure.mean_diameter.value_px
    assert share(unsure.mean_diameter.budget, "scale") == pytest.approx(0.01 * sure.mean_diameter.value_um)
    assert sure.mean_diameter.expanded_um == pytest.approx(2 * sure.mean_diameter.expanded_px)
    assert unsure.mean_diameter.expanded_um == pytest.approx(
        2 * np.hypot(sure.mean_diameter.expanded_um / 2, 0.01 * sure.mean_diameter.value_um)
    )


@pytest.mark.parametrize("change", [{"blur": 3.0}, {"noise": 0.06}, {"hole": 0.4}])
def test_a_worse_photograph_has_the_larger_uncertainty(change: dict[str, float]) -> None:
    good = evaluate_hole(photograph(HOLE, SHOT), Scale(1.0, 0.0))
    worse = evaluate_hole(photograph(HOLE, SHOT.with_(**change)), Scale(1.0, 0.0))
    source = "scatter of the edge"
    assert share(worse.mean_diameter.budget, source) > 1.2 * share(good.mean_diameter.budget, source)
    assert worse.ovality.expanded_px > good.ovality.expanded_px


def test_a_hole_of_three_lobes_is_not_called_oval_but_not_round() -> None:
    """Three lobes of 2 px amplitude: 4 px peak to valley, less what the filter of 15 undulations takes (3 %)."""
    lobed = Hole(150.3, 129.6, 150, 150, lobes=((3, 2.0, 10.0),))
    found = evaluate_hole(photograph(lobed, SHOT.with_(noise=0.005)), Scale(1.0, 0.0))
    assert found.ovality.value_px < 0.1
    assert found.roundness.value_px == pytest.approx(lobed.roundness, abs=found.roundness.expanded_px)
    assert 3.8 < lobed.roundness < 4.0


def test_scratches_and_glints_are_left_out_and_the_rest_still_measures() -> None:
    marked = SHOT.with_(scratches=((20, 40, 290, 215, 0.05),), glints=((150, 56, 4),))
    found = evaluate_hole(photograph(HOLE, marked), Scale(1.0, 0.0))
    assert len(found.rejected_px) > 5
    assert 0.7 < found.quality.coverage < 0.97
    assert found.mean_diameter.value_px == pytest.approx(HOLE.mean_diameter, abs=0.2)
    assert found.ovality.value_px == pytest.approx(HOLE.ovality, abs=0.3)


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_turning_the_photograph_does_not_change_the_hole(turns: int) -> None:
    picture = photograph(HOLE, SHOT)
    upright, turned = evaluate_hole(picture, Scale(1.0, 0.0)), evaluate_hole(np.rot90(picture, turns), Scale(1.0, 0.0))
    assert turned.mean_diameter.value_px == pytest.approx(upright.mean_diameter.value_px, abs=0.02)
    assert turned.ovality.value_px == pytest.approx(upright.ovality.value_px, abs=0.05)
    assert abs((turned.angle_deg - (upright.angle_deg - 90 * turns) + 90) % 180 - 90) < 1
