"""Reference circles against published fits; source and status of each figure stand in its file in `roundness/`.

Least-squares values are published. Minimum zone, circumscribed and inscribed circles have no published value with
a whole set of points: their figures were worked out for this collection by exhaustive search and by linear programs.
"""

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from service.metrology.lobing import form_ovality
from service.metrology.radial_trace import radial_trace, trace_about
from service.metrology.roundness import least_squares_circle, roundness

pytestmark = pytest.mark.published

SETS: dict[str, dict[str, Any]] = {
    path.stem: json.loads(path.read_text(encoding="utf-8"))
    for path in sorted((Path(__file__).parent / "roundness").glob("*.json"))
}
REFERENCE_PAIRS = [name for name in SETS if name.startswith("nist_l2_")]
SEARCHED = [name for name in REFERENCE_PAIRS if "MZ_center" in SETS[name]["computed_here_NOT_published"]]
ARCS = [name for name in REFERENCE_PAIRS if SETS[name]["arc_coverage_deg"] < 181]

# Points are given to five decimals at up to 0.9 m from zero; a tenth of a nanometre is a millionth of their last digit.
LAST_DIGITS_MM = 1e-10


def test_there_are_reference_pairs_of_whole_circles_and_of_arcs() -> None:
    assert (len(REFERENCE_PAIRS), len(SEARCHED), len(ARCS)) == (18, 9, 8)


@pytest.mark.parametrize("name", REFERENCE_PAIRS)
def test_the_least_squares_circle_has_the_published_digits(name: str) -> None:
    # NIST reference pairs after ASME B89.4.10: single source, official.
    published = SETS[name]["published"]
    found = least_squares_circle(SETS[name]["points"])
    x, y = (float(digits) for digits in published["center_str"])
    assert (found.x_mm, found.y_mm) == pytest.approx((x, y), rel=0, abs=LAST_DIGITS_MM)
    assert 2 * found.radius_mm == pytest.approx(float(published["diameter_str"]), rel=0, abs=LAST_DIGITS_MM)


def test_the_least_squares_circle_is_the_geometric_fit_and_no_algebraic_one() -> None:
    # Gander, Golub, Strebel, BIT 34 (1994): six points of an arc; printed to six decimals.
    example = SETS["gander_golub_strebel_1994"]
    published = example["published"]["geometric_ls"]
    found = least_squares_circle(example["points"])
    assert (found.x_mm, found.y_mm) == pytest.approx(tuple(published["center"]), rel=0, abs=5e-7)
    assert found.radius_mm == pytest.approx(published["radius"], rel=0, abs=5e-7)
    points = np.array(example["points"])
    residuals = np.hypot(points[:, 0] - found.x_mm, points[:, 1] - found.y_mm) - found.radius_mm
    assert np.sqrt((residuals**2).mean()) == pytest.approx(published["sigma_rms"], rel=0, abs=5e-8)
    for algebraic in ("pratt", "taubin", "hyper"):
        assert abs(found.radius_mm - example["published"][algebraic]["radius"]) > 0.1


def test_an_oval_of_four_points_has_a_deviation_of_half_its_difference_of_diameters() -> None:
    # Points of a public circle-fit example (single source); the deviations were worked out for this collection.
    example = SETS["pcirc_4pts"]
    found = roundness(example["points"])
    computed = example["computed_here_NOT_published"]
    assert (found.least_squares.x_mm, found.least_squares.y_mm) == pytest.approx((0, 0), abs=1e-15)
    assert found.least_squares.radius_mm == pytest.approx(computed["geometric_ls"]["radius"], abs=1e-15)
    assert found.least_squares.deviation_mm == pytest.approx(computed["RONt_LSCI"], abs=1e-15)
    assert found.minimum_zone.deviation_mm == pytest.approx(computed["RONt_MZCI"], abs=1e-15)
    diameters = [2.2, 1.8]
    assert max(diameters) - min(diameters) == pytest.approx(2 * found.minimum_zone.deviation_mm)


def test_ovality_of_that_oval_as_a_difference_of_diameters_is_twice_its_radial_deviation() -> None:
    # The same four points carry no second harmonic without doubt; eight of the same pure oval do.
    directions = np.radians(np.arange(8) * 45)
    found = form_ovality(radial_trace(1.0 + 0.1 * np.cos(2 * directions)))
    assert found.two_point_mm == pytest.approx(0.4, abs=1e-14)
    assert found.peak_to_valley_mm == pytest.approx(0.2, abs=1e-14)
    four = trace_about(SETS["pcirc_4pts"]["points"])
    assert four.radii_mm == pytest.approx([1.1, 0.9, 1.1, 0.9], abs=1e-14)


@pytest.mark.parametrize("name", SEARCHED)
def test_minimum_zone_circumscribed_and_inscribed_circles_equal_an_exhaustive_search(name: str) -> None:
    # Worked out for this collection, not published.
    computed = SETS[name]["computed_here_NOT_published"]
    found = roundness(SETS[name]["points"])
    assert found.maximum_inscribed is not None
    deviations = (
        found.minimum_zone.deviation_mm,
        found.minimum_circumscribed.deviation_mm,
        found.maximum_inscribed.deviation_mm,
    )
    expected = (computed["RONt_MZCI"], computed["RONt_MCCI"], computed["RONt_MICI"])
    assert deviations == pytest.approx(expected, rel=0, abs=1e-11)
    assert 2 * found.minimum_circumscribed.radius_mm == pytest.approx(computed["MCC_diameter"], rel=0, abs=1e-11)
    assert 2 * found.maximum_inscribed.radius_mm == pytest.approx(computed["MIC_diameter"], rel=0, abs=1e-11)
    assert (found.minimum_zone.x_mm, found.minimum_zone.y_mm) == pytest.approx(
        tuple(computed["MZ_center"]), rel=0, abs=1e-9
    )


@pytest.mark.parametrize("name", REFERENCE_PAIRS)
def test_the_deviation_about_the_least_squares_centre_is_what_was_worked_out_from_the_points(name: str) -> None:
    # Worked out for this collection, not published, from centres good to about 1e-8 mm.
    computed = SETS[name]["computed_here_NOT_published"]
    found = least_squares_circle(SETS[name]["points"])
    assert found.deviation_mm == pytest.approx(computed["RONt_about_LSCI"], rel=0, abs=2e-8)


@pytest.mark.parametrize("name", ARCS)
def test_no_circle_is_inscribed_in_an_arc(name: str) -> None:
    assert roundness(SETS[name]["points"]).maximum_inscribed is None
