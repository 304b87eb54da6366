"""The form of a whole section: the filter, the lobes, and what is too little to say anything."""

import math
import time

import numpy as np
import pytest

from service.metrology.errors import MetrologyError
from service.metrology.measured_points import Floats
from service.metrology.section_form import section_form, section_lobes


def section(
    radius_mm: float, lobes: dict[int, float], count: int = 720, at: tuple[float, float] = (0, 0), *, shaken: float = 0
) -> Floats:
    """Points of a section with those amplitudes (mm) by undulations per revolution, in steps uneven where `shaken`."""
    turns = np.arange(count) * (math.tau / count)
    turns = turns + np.random.default_rng(7).uniform(-shaken, shaken, count) * (math.tau / count)
    radii = radius_mm + sum(amplitude * np.cos(upr * turns) for upr, amplitude in lobes.items())
    return np.asarray(np.column_stack((at[0] + radii * np.cos(turns), at[1] + radii * np.sin(turns))))


@pytest.mark.parametrize("shaken", [0, 0.3])
@pytest.mark.parametrize("at", [(0.0, 0.0), (0.05, -0.02), (1000.0, 400.0)])
def test_the_filter_takes_half_of_an_undulation_at_its_cut_off(shaken: float, at: tuple[float, float]) -> None:
    # ISO 16610-21: a transmission of one half at the cut-off; 2^-(3/50)² of three lobes is let through.
    points = section(4, {3: 0.004, 50: 0.002}, 1440, at, shaken=shaken)
    lobes = section_form(points, 50).lobes
    assert lobes.amplitude_mm(50) == pytest.approx(0.001, rel=0.01)
    assert lobes.amplitude_mm(3) == pytest.approx(0.004 * 2 ** -((3 / 50) ** 2), rel=0.01)


def test_a_scratch_counts_without_a_filter_and_hardly_with_one() -> None:
    points = section(4, {2: 0.001})
    points[100] *= 1 + 0.02 / 4
    assert section_form(points).circles.minimum_zone.deviation_mm > 0.019
    assert section_form(points, 15).circles.minimum_zone.deviation_mm < 0.005


def test_the_filter_leaves_the_section_where_it_was() -> None:
    found = section_form(section(4, {3: 0.004}, 720, (12.5, -3)), 15)
    zone = found.circles.minimum_zone
    assert (zone.x_mm, zone.y_mm, zone.radius_mm) == pytest.approx((12.5, -3, 4), abs=1e-4)
    assert np.hypot(*(found.points_mm - (12.5, -3)).T) == pytest.approx(4, abs=0.005)


@pytest.mark.parametrize(
    ("points", "cutoff", "said"),
    [
        (section(4, {2: 0.001}, 7), None, "The points lie in 7 directions"),
        (np.repeat(section(4, {2: 0.001}, 4), 4, axis=0), None, "Repeated points count once"),
        (section(4, {2: 0.001}, 720)[:600], None, "no point over 60°"),
        (section(4, {2: 0.001}, 100), 50, "needs 350 directions or more"),
        (np.delete(section(4, {2: 0.001}, 720), slice(100, 120), axis=0), 50, "hides a whole undulation"),
    ],
)
def test_too_few_directions_are_refused_with_what_is_missing(points: Floats, cutoff: int | None, said: str) -> None:
    with pytest.raises(MetrologyError, match=said) as refused:
        section_form(points, cutoff)
    assert refused.value.code == "directions-too-sparse"
    assert refused.value.field == "points"


def test_an_arc_has_no_lobes_and_a_whole_section_has() -> None:
    whole = section_lobes(section(4, {3: 0.002, 7: 0.0005}))
    assert whole is not None
    assert whole.dominant().undulations_per_revolution == 3
    assert section_lobes(section(4, {3: 0.002})[:200]) is None
    assert section_lobes([(1, 0), (0, 1), (-1, -1)]) is None


def test_the_lobes_of_a_hundred_thousand_uneven_points_are_found_in_well_under_a_second() -> None:
    points = section(12.5, {3: 0.002, 17: 0.0007}, 100_000, (1000, 0), shaken=0.4)
    tries = []
    for _ in range(3):  # of this thread alone: other tests run beside it
        begun = time.thread_time()
        found = section_lobes(points)
        tries.append(time.thread_time() - begun)
    assert min(tries) < 1
    assert found is not None
    assert found.amplitude_mm(3) == pytest.approx(0.002, rel=1e-3)
    assert found.amplitude_mm(17) == pytest.approx(0.0007, rel=1e-3)
