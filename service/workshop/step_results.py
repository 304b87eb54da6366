"""What a bench step recorded, and how it came out."""

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from service.metrology.kept_budget import UncertaintyBudget


@dataclass(frozen=True, kw_only=True)
class VentResult:
    """Oil came without air."""

    kind: Literal["vent"] = "vent"
    air_free: bool


@dataclass(frozen=True, kw_only=True)
class StrokesResult:
    """How many full strokes were made."""

    kind: Literal["strokes"] = "strokes"
    strokes: int


@dataclass(frozen=True, kw_only=True)
class SeatTightnessResult:
    """Pressure held (bar), for how long (s), and whether the nozzle stayed dry."""

    kind: Literal["seat-tightness"] = "seat-tightness"
    pressure_bar: Decimal
    held_s: int
    dry: bool


@dataclass(frozen=True, kw_only=True)
class OpeningPressureResult:
    """Opening pressure of each stroke, bar."""

    kind: Literal["opening-pressure"] = "opening-pressure"
    strokes_bar: tuple[Decimal, ...]


@dataclass(frozen=True, kw_only=True)
class EmissionResult:
    """Holes (numbered from 1) that sprayed; the others did not."""

    kind: Literal["emission"] = "emission"
    spraying: tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class QuickDropResult:
    """Whether the quick drop on opening showed."""

    kind: Literal["quick-drop"] = "quick-drop"
    seen: bool


@dataclass(frozen=True, kw_only=True)
class ExternalTightnessResult:
    """Pressure held with the return blocked (bar), for how long (s), and the places that leaked."""

    kind: Literal["external-tightness"] = "external-tightness"
    pressure_bar: Decimal
    held_s: int
    leaks: tuple[str, ...]


StepResult = (
    VentResult
    | StrokesResult
    | SeatTightnessResult
    | OpeningPressureResult
    | EmissionResult
    | QuickDropResult
    | ExternalTightnessResult
)


def pressures_bar(result: StepResult) -> tuple[Decimal, ...]:
    """Every pressure (bar) that the rig's gauge showed in the step."""
    match result:
        case SeatTightnessResult(pressure_bar=pressure) | ExternalTightnessResult(pressure_bar=pressure):
            return (pressure,)
        case OpeningPressureResult(strokes_bar=strokes):
            return strokes
        case _:
            return ()


@dataclass(frozen=True, kw_only=True)
class StepOutcome:
    """Pass or fail with its reason; `next_action` where it failed."""

    passed: bool
    value: str
    limit: str
    sentence: str
    next_action: str = ""
    rule: str = ""
    """Decision rule that a measured value was judged by; empty where nothing was measured against a limit."""
    uncertainty: UncertaintyBudget | None = None
    """What that value was judged with; None where there is none, or before budgets were kept."""
    probability_of_conformity: Decimal | None = None
    """Of that value, 0 to 1; None where it has no meaning, or before it was kept."""
