"""The flow of a leak that was caught in a measuring cylinder: q = V ÷ t, and how it moves with volume and time."""

from decimal import Decimal

SECONDS_PER_MINUTE = 60
STOPWATCH_HALF_WIDTH_S = Decimal("0.3")
"""Start and stop of a stopwatch by hand, together within ± 0.3 s: common practice, no source."""


def leak_flow_ml_per_min(volume_ml: Decimal, seconds: int) -> Decimal:
    """The mean flow, ml/min, of a volume (ml) that came in a time (s, above 0)."""
    return volume_ml * SECONDS_PER_MINUTE / seconds


def flow_per_ml(seconds: int) -> Decimal:
    """∂q/∂V in ml/min per ml, for a time in s above 0."""
    return Decimal(SECONDS_PER_MINUTE) / seconds


def flow_per_s(volume_ml: Decimal, seconds: int) -> Decimal:
    """The size of ∂q/∂t in ml/min per s, for a volume in ml and a time in s above 0."""
    return leak_flow_ml_per_min(volume_ml, seconds) / seconds
