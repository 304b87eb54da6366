"""The result that was typed in the form of each kind of bench step. None means: cannot tell."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from service.actions.shop import Refused
from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import plain
from service.pages.overhauls.step_choices import NOTHING, UNCLEAR
from service.pages.typed_forms import Typed
from service.workshop.shown_pressure import typed_pressure_bar
from service.workshop.step_results import (
    BackLeakageResult,
    EmissionResult,
    ExternalTightnessResult,
    FlushResult,
    OpeningPressureResult,
    QuickDropResult,
    SeatTightnessResult,
    StepResult,
    StrokesResult,
    VentResult,
)
from service.workshop.test_plan import (
    AnyStep,
    BackLeakageStep,
    EmissionStep,
    ExternalTightnessStep,
    FlushStep,
    OpeningPressureStep,
    QuickDropStep,
    SeatTightnessStep,
    StrokesStep,
    VentStep,
)
from service.workshop.test_rig import HIGHEST_BAR

_LOOK = "or that you cannot tell."


def result_of(step: AnyStep, typed: Typed, unit: str) -> StepResult:
    """The result that was typed for the step. A bare pressure is in `unit`, that of the rig's dial; results are in bar.

    Raises DomainError with the field at fault.
    """
    return _READERS[type(step)](step, typed, unit)


def _vent(step: VentStep, typed: Typed, unit: str) -> VentResult:
    return VentResult(air_free=_answer(typed, "air_free", "Say whether the oil comes without air"))


def _flush(step: FlushStep, typed: Typed, unit: str) -> FlushResult:
    return FlushResult(
        flushed_s=typed.whole("flushed_s", "Time flushed in seconds"),
        clean=_answer(typed, "clean", "Say whether the oil came clean"),
    )


def _strokes(step: StrokesStep, typed: Typed, unit: str) -> StrokesResult:
    return StrokesResult(strokes=typed.whole("strokes", "Full strokes"))


def _seat(step: SeatTightnessStep, typed: Typed, unit: str) -> SeatTightnessResult:
    return SeatTightnessResult(
        pressure_bar=_pressure(typed, unit),
        held_s=typed.whole("held_s", "Time held in seconds"),
        dry=_answer(typed, "dry", "Say whether the nozzle stayed dry"),
        leaks=typed.many("leaks"),
    )


def _opening(step: OpeningPressureStep, typed: Typed, unit: str) -> OpeningPressureResult:
    strokes: list[Decimal] = []
    for place, text in enumerate(typed.fields.get("strokes_bar", ()), start=1):
        if text.strip():
            strokes.append(_stroke(text, place, unit))
    if len(strokes) < step.strokes_min:
        raise Refused(
            "too-few-strokes",
            f"{len(strokes)} of at least {step.strokes_min} strokes are entered: make the others too.",
            "strokes_bar",
        )
    return OpeningPressureResult(strokes_bar=tuple(strokes))


def _stroke(text: str, place: int, unit: str) -> Decimal:
    """One stroke in bar; the error stands at its own box."""
    try:
        return typed_pressure_bar(text, unit, f"stroke-{place}")
    except MetrologyError as error:
        raise Refused(error.code, error.sentence, f"strokes_bar-{place}") from None


def _emission(step: EmissionStep, typed: Typed, unit: str) -> EmissionResult:
    spraying: list[int] = []
    unclear: list[int] = []
    for hole in range(1, step.holes + 1):
        name = f"hole-{hole}"
        if typed.text("others") == "spray" and not typed.text(name):
            spraying.append(hole)
            continue
        sprays = _answer(typed, name, f"Say whether hole {hole} sprays")
        if sprays is None:
            unclear.append(hole)
        elif sprays:
            spraying.append(hole)
    return EmissionResult(spraying=tuple(spraying), unclear=tuple(unclear))


def _quick_drop(step: QuickDropStep, typed: Typed, unit: str) -> QuickDropResult:
    return QuickDropResult(seen=_answer(typed, "seen_drop", "Say whether the quick drop showed"))


def _external(step: ExternalTightnessStep, typed: Typed, unit: str) -> ExternalTightnessResult:
    ticked = typed.many("leaks")
    if not ticked or (NOTHING in ticked and len(ticked) > 1):
        raise Refused("choice", f"Tick where it leaks, that it does not, {_LOOK}", "leaks")
    return ExternalTightnessResult(
        pressure_bar=_pressure(typed, unit),
        held_s=typed.whole("held_s", "Time held in seconds"),
        leaks=tuple(one for one in ticked if one not in (NOTHING, UNCLEAR)),
        unclear=UNCLEAR in ticked,
    )


def _back_leakage(step: BackLeakageStep, typed: Typed, unit: str) -> BackLeakageResult:
    return BackLeakageResult(
        pressure_bar=_pressure(typed, unit),
        measured_s=typed.whole("measured_s", "Time measured in seconds"),
        volume_ml=typed.quantity("volume_ml", "ml"),
    )


def _pressure(typed: Typed, unit: str) -> Decimal:
    pressure = typed_pressure_bar(typed.text("pressure"), unit, "pressure")
    if not 0 <= pressure <= HIGHEST_BAR:
        sentence = f"Pressure reads {plain(pressure)} bar: enter 0 to {HIGHEST_BAR} bar, and check digits and unit."
        raise Refused("pressure", sentence, "pressure")
    return pressure


def _answer(typed: Typed, name: str, sentence: str) -> bool | None:
    """Yes, no, or None where nobody could tell; an empty form is not an answer."""
    answers = {"yes": True, "no": False, UNCLEAR: None}
    if typed.text(name) not in answers:
        raise Refused("choice", f"{sentence}, {_LOOK}", name)
    return answers[typed.text(name)]


_READERS: dict[type, Callable[[Any, Typed, str], StepResult]] = {
    VentStep: _vent,
    FlushStep: _flush,
    StrokesStep: _strokes,
    SeatTightnessStep: _seat,
    OpeningPressureStep: _opening,
    EmissionStep: _emission,
    QuickDropStep: _quick_drop,
    ExternalTightnessStep: _external,
    BackLeakageStep: _back_leakage,
}
