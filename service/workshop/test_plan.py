"""The test plan of a limit sheet: ordered steps on the test rig, pressures in bar, times in seconds."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal


@dataclass(frozen=True, kw_only=True)
class Step:
    """One step on the rig; the subclass says what is recorded and how it is judged."""

    key: str
    title: str
    how: str
    on_fail: str = ""
    """The next action when the step fails."""
    causes: tuple[str, ...] = ()
    """Likely causes of a fail, the likeliest first."""


@dataclass(frozen=True, kw_only=True)
class VentStep(Step):
    """Fill and vent, until the oil comes without air."""

    kind: Literal["vent"] = "vent"


@dataclass(frozen=True, kw_only=True)
class FlushStep(Step):
    """Flush the injector, at least so long, until the oil comes clean."""

    kind: Literal["flush"] = "flush"
    flush_s: int


@dataclass(frozen=True, kw_only=True)
class LeakPlace:
    """Where oil may show, which seal or face that accuses, and what to do then ('' for what the step says)."""

    key: str
    label: str
    points_to: str
    action: str = ""


@dataclass(frozen=True, kw_only=True)
class StrokesStep(Step):
    """Full strokes that open the valve and blow out dirt before a reading (5 to 10: common practice, no source)."""

    kind: Literal["strokes"] = "strokes"
    strokes_min: int = 5
    strokes_max: int = 10


@dataclass(frozen=True, kw_only=True)
class SeatTightnessStep(Step):
    """No oil from the nozzle at a margin below the set opening pressure (50 bar: common practice, no source)."""

    kind: Literal["seat-tightness"] = "seat-tightness"
    margin_bar: Decimal
    hold_s: int
    places: tuple[LeakPlace, ...] = ()
    """Where a nozzle that is not tight may show it; none where only dry or wet is asked."""


@dataclass(frozen=True, kw_only=True)
class OpeningPressureStep(Step):
    """Opening pressure over several strokes: their mean inside the band, their spread within its limit."""

    kind: Literal["opening-pressure"] = "opening-pressure"
    strokes_min: int = 3
    spread_max_bar: Decimal


@dataclass(frozen=True, kw_only=True)
class EmissionStep(Step):
    """Oil leaves every spray hole."""

    kind: Literal["emission"] = "emission"
    holes: int


@dataclass(frozen=True, kw_only=True)
class QuickDropStep(Step):
    """The gauge drops quickly as the valve opens; otherwise the slide sticks or a hole is blocked."""

    kind: Literal["quick-drop"] = "quick-drop"


@dataclass(frozen=True, kw_only=True)
class ExternalTightnessStep(Step):
    """The body holds a set pressure with the return blocked (about 100 bar: common practice, no source)."""

    kind: Literal["external-tightness"] = "external-tightness"
    pressure_bar: Decimal
    hold_s: int
    places: tuple[LeakPlace, ...]


@dataclass(frozen=True, kw_only=True)
class BackLeakageStep(Step):
    """Oil that comes from the return in a set time at a set pressure: past the guide, whose clearance it tells.

    The least volume is for guides that must not run dry; None where there is none.
    """

    kind: Literal["back-leakage"] = "back-leakage"
    pressure_bar: Decimal
    time_s: int
    volume_max_ml: Decimal
    volume_min_ml: Decimal | None = None


AnyStep = (
    VentStep
    | FlushStep
    | StrokesStep
    | SeatTightnessStep
    | OpeningPressureStep
    | EmissionStep
    | QuickDropStep
    | ExternalTightnessStep
    | BackLeakageStep
)


@dataclass(frozen=True, kw_only=True)
class TestPlan:
    """The set opening pressure with its band, and the steps in their order."""

    __test__ = False  # a plan, not a test class

    opening_set_bar: Decimal
    opening_lower_bar: Decimal
    opening_upper_bar: Decimal
    steps: tuple[AnyStep, ...]
    spring_rate_n_per_mm: Decimal | None = None
    """With the two diameters: what a millimetre of disc changes. All three or none."""
    guide_mm: Decimal | None = None
    seat_mm: Decimal | None = None
    discs_mm: tuple[Decimal, ...] = ()
    """Thicknesses of adjusting discs that the workshop keeps for this type."""

    @property
    def step_by_key(self) -> Mapping[str, AnyStep]:
        """Steps by key."""
        return {step.key: step for step in self.steps}
