"""The small sheet with the steps that it does without: flush, back leakage, places of a wet seat. All invented."""

from dataclasses import replace
from decimal import Decimal as D

from service.workshop.measurements import InstrumentUse
from service.workshop.step_results import BackLeakageResult, FlushResult, StepResult
from service.workshop.test_plan import BackLeakageStep, FlushStep, LeakPlace, SeatTightnessStep
from service.workshop.vocabulary import InstrumentKind
from tests.small_findings import PASSING
from tests.small_sheet import CALIBRATED_ON, DUE, PLAN, SMALL_SHEET

CYLINDER = InstrumentUse(
    code="CYL-1",
    kind=InstrumentKind.MEASURING_CYLINDER,
    expanded_uncertainty=D("0.1"),
    unit="ml",
    calibration="CERT-CYL-1",
    due=DUE,
    calibrated_on=CALIBRATED_ON,
    resolution=D("0.2"),
    lower=D("1"),
    upper=D("25"),
)

FLUSH = FlushStep(
    key="flush",
    title="Flush",
    how="Pump until the oil comes clean.",
    flush_s=60,
    causes=("Dirt left in the drillings",),
    on_fail="Clean the drillings and flush again.",
)
LEAKAGE = BackLeakageStep(
    key="leakage",
    title="Back leakage",
    how="Hold the pressure and catch the oil from the return.",
    pressure_bar=D(200),
    time_s=60,
    volume_max_ml=D(10),
    volume_min_ml=D(2),
    causes=("Guide worn", "Oil thinner than the plan's"),
    on_fail="Measure needle and guide.",
)
PLACES = (
    LeakPlace(key="tip", label="at the tip", points_to="seat not tight", action="Lap the seat."),
    LeakPlace(key="nut", label="under the nozzle nut", points_to="flat face scored"),
)


def _longer() -> tuple[object, ...]:
    steps: list[object] = []
    for step in PLAN.steps:
        steps.append(replace(step, places=PLACES) if isinstance(step, SeatTightnessStep) else step)
        if step.key == "vent":
            steps.append(FLUSH)
    return (*steps, LEAKAGE)


LONGER_PLAN = replace(PLAN, steps=_longer())  # type: ignore[arg-type]
LONGER_SHEET = replace(SMALL_SHEET, test_plan=LONGER_PLAN)


def caught(volume: str = "6", *, seconds: int = 60, bar: str = "200") -> BackLeakageResult:
    """Oil from the return, caught in the cylinder."""
    return BackLeakageResult(pressure_bar=D(bar), measured_s=seconds, volume_ml=D(volume), cylinder=CYLINDER)


LONGER_PASSING: dict[str, StepResult] = {
    **PASSING,
    "flush": FlushResult(flushed_s=60, clean=True),
    "leakage": caught(),
}
