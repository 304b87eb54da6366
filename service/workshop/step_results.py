"""What a bench step recorded, and how it came out. An answer that is None says: cannot tell."""

from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum
from typing import Literal

from service.metrology.kept_budget import UncertaintyBudget
from service.workshop.measurements import InstrumentUse
from service.workshop.vocabulary import VerdictKind


@dataclass(frozen=True, kw_only=True)
class VentResult:
    """Whether oil came without air."""

    kind: Literal["vent"] = "vent"
    air_free: bool | None


@dataclass(frozen=True, kw_only=True)
class FlushResult:
    """How long the injector was flushed (s), and whether the oil came clean."""

    kind: Literal["flush"] = "flush"
    flushed_s: int
    clean: bool | None


@dataclass(frozen=True, kw_only=True)
class StrokesResult:
    """How many full strokes were made."""

    kind: Literal["strokes"] = "strokes"
    strokes: int


@dataclass(frozen=True, kw_only=True)
class SeatTightnessResult:
    """Pressure held (bar), for how long (s), whether the nozzle stayed dry, and the places where it did not."""

    kind: Literal["seat-tightness"] = "seat-tightness"
    pressure_bar: Decimal
    held_s: int
    dry: bool | None
    leaks: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class OpeningPressureResult:
    """Opening pressure of each stroke, bar."""

    kind: Literal["opening-pressure"] = "opening-pressure"
    strokes_bar: tuple[Decimal, ...]


@dataclass(frozen=True, kw_only=True)
class EmissionResult:
    """Holes (numbered from 1) that sprayed, and those that nobody could tell of; the others did not spray."""

    kind: Literal["emission"] = "emission"
    spraying: tuple[int, ...]
    unclear: tuple[int, ...] = ()


@dataclass(frozen=True, kw_only=True)
class QuickDropResult:
    """Whether the quick drop on opening showed."""

    kind: Literal["quick-drop"] = "quick-drop"
    seen: bool | None


@dataclass(frozen=True, kw_only=True)
class ExternalTightnessResult:
    """Pressure held with the return blocked (bar), for how long (s), and the places that leaked.

    `unclear` where oil showed, or may have, and nobody could tell from where.
    """

    kind: Literal["external-tightness"] = "external-tightness"
    pressure_bar: Decimal
    held_s: int
    leaks: tuple[str, ...]
    unclear: bool = False


@dataclass(frozen=True, kw_only=True)
class BackLeakageResult:
    """Oil from the return (ml) in a measured time (s), at the mean pressure held (bar), caught in a cylinder."""

    kind: Literal["back-leakage"] = "back-leakage"
    pressure_bar: Decimal
    measured_s: int
    volume_ml: Decimal
    cylinder: InstrumentUse | None = None
    """As the register had it at the moment of use; None only before it was looked up."""


StepResult = (
    VentResult
    | FlushResult
    | StrokesResult
    | SeatTightnessResult
    | OpeningPressureResult
    | EmissionResult
    | QuickDropResult
    | ExternalTightnessResult
    | BackLeakageResult
)


def pressures_bar(result: StepResult) -> tuple[Decimal, ...]:
    """Every pressure (bar) that the rig's gauge showed in the step."""
    match result:
        case (
            SeatTightnessResult(pressure_bar=pressure)
            | ExternalTightnessResult(pressure_bar=pressure)
            | BackLeakageResult(pressure_bar=pressure)
        ):
            return (pressure,)
        case OpeningPressureResult(strokes_bar=strokes):
            return strokes
        case _:
            return ()


class StepVerdictKind(StrEnum):
    """How a bench step came out."""

    PASSED = "pass"
    FAILED = "fail"
    CANNOT_TELL = "cannot-tell"

    @property
    def label(self) -> str:
        """Words for people."""
        return self.value.replace("-", " ").capitalize()

    @property
    def as_finding(self) -> VerdictKind:
        """The verdict of a finding that it is worth, and whose mark it shares."""
        return _AS_FINDING[self]


_AS_FINDING = {
    StepVerdictKind.PASSED: VerdictKind.CONFORMS,
    StepVerdictKind.FAILED: VerdictKind.DOES_NOT_CONFORM,
    StepVerdictKind.CANNOT_TELL: VerdictKind.NOT_PROVEN,
}


@dataclass(frozen=True, kw_only=True)
class StepOutcome:
    """Pass, fail or cannot tell with its reason; `next_action` where it did not pass."""

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
    undecided: bool = False
    """Cannot tell: neither passed nor failed, and to be recorded again."""
    likely_causes: tuple[str, ...] = ()
    """Of a fail, the likeliest first."""

    @property
    def failed(self) -> bool:
        """A true fail, which ends the run."""
        return self.verdict is StepVerdictKind.FAILED

    @property
    def verdict(self) -> StepVerdictKind:
        """Pass, fail or cannot tell."""
        if self.undecided:
            return StepVerdictKind.CANNOT_TELL
        return StepVerdictKind.PASSED if self.passed else StepVerdictKind.FAILED
