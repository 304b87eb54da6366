"""A verdict on roundness against published centres: from the file that a person sends to the value that is judged.

NIST least-squares reference pairs after ASME B89.4.10; source and status of each stand in its file in `roundness/`. The
published centre gives the deviation by Pythagoras, without the service; it is compared as judged, to 0.01 µm.
"""

import json
import math
from dataclasses import replace
from decimal import Decimal as D
from pathlib import Path
from typing import Any

import pytest

from service.metrology.errors import MetrologyError
from service.workshop.decision_rule import DecisionRule
from service.workshop.examination import examine
from service.workshop.measurements import Outcome, RoundnessMeasurement
from service.workshop.section_profile import profile_from_text
from service.workshop.vocabulary import ProfileColumns, RoundnessReference, VerdictKind
from tests.round_sheet import FORM_TESTER, with_roundness

pytestmark = pytest.mark.published

SETS: dict[str, dict[str, Any]] = {
    path.stem.removeprefix("nist_l2_"): json.loads(path.read_text(encoding="utf-8"))
    for path in sorted((Path(__file__).parent / "roundness").glob("nist_l2_*.json"))
}
WHOLE = ("cir2d10", "cir2d12", "cir2d17", "cir2d19", "cir2d22", "cir2d25", "cir2d27", "cir2d29")
"""Measured all round in eight directions or more; the others are arcs, or too few points to judge a form by."""


def judged(points: list[list[float]], limit: D) -> Outcome:
    profile = profile_from_text("\n".join(f"{x!r},{y!r}" for x, y in points), ProfileColumns.POINTS)
    measured = RoundnessMeasurement(columns=profile.columns, rows=profile.rows, instrument=FORM_TESTER)
    item = replace(with_roundness(RoundnessReference.LEAST_SQUARES), limit=limit)
    return examine(item, measured, DecisionRule(D(0)))


@pytest.mark.parametrize("name", WHOLE)
def test_the_deviation_judged_is_the_one_about_the_published_centre(name: str) -> None:
    x, y = (float(digits) for digits in SETS[name]["published"]["center_str"])
    radii = [math.hypot(px - x, py - y) for px, py in SETS[name]["points"]]
    expected = D(repr(max(radii) - min(radii))).quantize(D("0.00001"))
    outcome = judged(SETS[name]["points"], expected)
    assert D(outcome.value.split()[2]) == expected
    assert outcome.verdict is VerdictKind.CONFORMS
    assert judged(SETS[name]["points"], expected - D("0.00001")).verdict is VerdictKind.DOES_NOT_CONFORM


@pytest.mark.parametrize("name", sorted(SETS.keys() - set(WHOLE)))
def test_an_arc_or_a_handful_of_points_is_no_section(name: str) -> None:
    with pytest.raises(MetrologyError) as refused:
        judged(SETS[name]["points"], D(1))
    assert refused.value.code == "directions-too-sparse"
