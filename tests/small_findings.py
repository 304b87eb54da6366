"""Measurements, findings and bench results for the small sheet: sound ones, and ones to be rejected. All invented."""

from decimal import Decimal as D

from service.workshop.measurements import (
    Measurement,
    OvalityMeasurement,
    PinMeasurement,
    PinTried,
    SizeMeasurement,
    VisualMeasurement,
    YesNoMeasurement,
)
from service.workshop.step_results import (
    EmissionResult,
    ExternalTightnessResult,
    OpeningPressureResult,
    QuickDropResult,
    SeatTightnessResult,
    StepResult,
    StrokesResult,
    VentResult,
)
from tests.small_sheet import HOLES, INSTRUMENTS


def sizes(code: str, *readings: str) -> SizeMeasurement:
    """Readings with the instrument of that code."""
    return SizeMeasurement(readings=tuple(D(one) for one in readings), instrument=INSTRUMENTS[code])


def pins(*, go_refused: tuple[int, ...] = (), reject_enters: tuple[int, ...] = ()) -> PinMeasurement:
    """Go and reject pin tried in every hole; the holes named behave badly."""
    passes = []
    for hole in range(1, HOLES + 1):
        passes.append(PinTried(hole=hole, pin=D("0.85"), enters=hole not in go_refused))
        passes.append(PinTried(hole=hole, pin=D("0.88"), enters=hole in reject_enters))
    return PinMeasurement(passes=tuple(passes), instrument=INSTRUMENTS["PINS-1"])


def roundness(*out_of_round: int, by: str = "0.040") -> OvalityMeasurement:
    """Each hole in two directions; the holes named are oval by that many millimetres."""
    return OvalityMeasurement(
        diameters=tuple(
            (D("0.860"), D("0.860") + (D(by) if hole in out_of_round else D("0.002"))) for hole in range(1, HOLES + 1)
        ),
        instrument=INSTRUMENTS["BORE-1"],
    )


def seen(*findings: str, at: str | None = None) -> VisualMeasurement:
    """What was seen, at that magnification."""
    return VisualMeasurement(
        findings=findings,
        magnification=None if at is None else D(at),
        instrument=INSTRUMENTS["SCOPE-1"] if at else None,
    )


SOUND: dict[str, Measurement] = {
    "body-cracks": seen("none"),
    "body-seat-width": sizes("MIC-1", "1.10"),
    "body-pin": YesNoMeasurement(answer=True),
    "nozzle-holes": pins(),
    "nozzle-ovality": roundness(),
    "nozzle-tip": seen("clean"),
    "needle-seat": seen("even", at="9"),
    "needle-guide": sizes("MIC-1", "5.996", "5.997"),
    "spring-length": sizes("HEIGHT-1", "59.90"),
    "spring-rate": sizes("RATE-1", "100"),
}

REJECTED: dict[str, Measurement] = {
    "body-cracks": seen("crack"),
    "body-seat-width": sizes("MIC-1", "1.40"),
    "body-pin": YesNoMeasurement(answer=False),
    "nozzle-holes": pins(reject_enters=(3,)),
    "nozzle-ovality": roundness(2),
    "nozzle-tip": seen("burnt"),
    "needle-seat": seen("indentation", at="9"),
    "needle-guide": sizes("MIC-1", "5.996", "5.980"),
    "spring-length": sizes("HEIGHT-1", "59.00"),
    "spring-rate": sizes("RATE-1", "90"),
}

PASSING: dict[str, StepResult] = {
    "vent": VentResult(air_free=True),
    "blow": StrokesResult(strokes=6),
    "seat": SeatTightnessResult(pressure_bar=D(300), held_s=10, dry=True),
    "opening": OpeningPressureResult(strokes_bar=(D(350), D(351), D(352))),
    "emission": EmissionResult(spraying=(1, 2, 3, 4)),
    "drop": QuickDropResult(seen=True),
    "external": ExternalTightnessResult(pressure_bar=D(100), held_s=30, leaks=()),
}

FAILING: dict[str, StepResult] = {
    "vent": VentResult(air_free=False),
    "blow": StrokesResult(strokes=11),
    "seat": SeatTightnessResult(pressure_bar=D(300), held_s=10, dry=False),
    "opening": OpeningPressureResult(strokes_bar=(D(330), D(331), D(332))),
    "emission": EmissionResult(spraying=(1, 2, 4)),
    "drop": QuickDropResult(seen=False),
    "external": ExternalTightnessResult(pressure_bar=D(100), held_s=30, leaks=("nut",)),
}
