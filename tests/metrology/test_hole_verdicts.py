"""A spray hole against its limits, judged by all sizes that its pins leave open."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from service.metrology.errors import MetrologyError
from service.metrology.gauge_pins import CalibratedPin
from service.metrology.hole_brackets import CalibratedPass, HoleSize, hole_size
from service.metrology.hole_verdicts import judge_hole

D = Decimal
LOWER, UPPER = D("0.850"), D("0.875")
thousandths = st.integers(800, 920)


def _hole(entering: str | None, refused: str | None, uncertainty: str = "0.001") -> HoleSize:
    tried = [(entering, True), (refused, False)]
    pins = [(CalibratedPin("P", D(size), D(size), D(uncertainty)), enters) for size, enters in tried if size]
    return hole_size("1", [CalibratedPass(pin, enters) for pin, enters in pins])


@pytest.mark.parametrize(
    ("entering", "refused", "verdict"),
    [
        ("0.851", "0.874", "conforms"),
        ("0.850", "0.874", "not-proven"),
        ("0.851", "0.875", "not-proven"),
        ("0.870", "0.880", "not-proven"),
        ("0.876", "0.880", "does-not-conform"),
        ("0.840", "0.849", "does-not-conform"),
        # The reject pin enters and no larger pin was tried: proven beyond its uncertainty, or not.
        ("0.877", None, "does-not-conform"),
        ("0.876", None, "not-proven"),
        ("0.860", None, "not-proven"),
        (None, "0.848", "does-not-conform"),
        (None, "0.849", "not-proven"),
        (None, "0.860", "not-proven"),
        # Far below the least size, but nothing says that the hole is no larger.
        ("0.700", None, "not-proven"),
    ],
)
def test_a_hole_is_proven_when_all_that_its_pins_leave_open_lies_on_one_side(
    entering: str | None, refused: str | None, verdict: str
) -> None:
    assert judge_hole(_hole(entering, refused), LOWER, UPPER).name == verdict


@given(thousandths, st.lists(thousandths, min_size=1, max_size=8))
def test_no_hole_is_ever_proven_to_be_what_it_is_not(true_size: int, pins: list[int]) -> None:
    passes = [
        CalibratedPass(CalibratedPin("P", D(pin) / 1000, D(pin) / 1000, D("0.0005")), pin <= true_size) for pin in pins
    ]
    verdict = judge_hole(hole_size("1", passes), LOWER, UPPER)
    inside = LOWER <= D(true_size) / 1000 <= UPPER
    assert verdict.name != ("does-not-conform" if inside else "conforms")


def test_a_hole_without_limits_cannot_be_judged() -> None:
    with pytest.raises(MetrologyError) as refusal:
        judge_hole(_hole("0.86", None), None, None)
    assert refusal.value.code == "limits-missing"
