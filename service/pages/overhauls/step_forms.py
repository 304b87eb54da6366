"""The form of each kind of bench step: what the plan expects, and the result that was typed."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from service.actions.shop import Refused
from service.metrology.errors import MetrologyError
from service.metrology.typed_numbers import plain
from service.metrology.units import parse_quantity
from service.pages.choices import Option
from service.pages.overhauls.small_forms import Fact
from service.pages.typed_forms import Typed
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
    TestPlan,
    VentStep,
)

NOTHING = "none"
"""Ticked to say that nothing sprays or leaks: an empty form is not an answer."""


def expected(plan: TestPlan, step: AnyStep) -> tuple[Fact, ...]:
    """What the plan asks for at that step, before anything is done."""
    match step:
        case VentStep():
            return (Fact("Until", "the oil comes without air"),)
        case FlushStep():
            return (Fact("Time", f"{step.flush_s} s or more"), Fact("Until", "the oil comes clean"))
        case StrokesStep():
            return (Fact("Full strokes", f"{step.strokes_min} to {step.strokes_max}"),)
        case SeatTightnessStep():
            pressure = plain(plan.opening_set_bar - step.margin_bar)
            return (
                Fact("Pressure to hold", f"{pressure} bar"),
                Fact("Below the set opening pressure", f"{plain(step.margin_bar)} bar"),
                Fact("Time", f"{step.hold_s} s"),
                Fact("Nozzle", "stays dry"),
            )
        case OpeningPressureStep():
            return (
                Fact("Set", f"{plain(plan.opening_set_bar)} bar"),
                Fact("Band", f"{plain(plan.opening_lower_bar)} to {plain(plan.opening_upper_bar)} bar"),
                Fact("Strokes", f"at least {step.strokes_min}"),
                Fact("Spread", f"at most {plain(step.spread_max_bar)} bar"),
            )
        case EmissionStep():
            return (Fact("Sprays", f"each of the {step.holes} holes"),)
        case QuickDropStep():
            return (Fact("On opening", "the gauge drops quickly"),)
        case ExternalTightnessStep():
            return (
                Fact("Pressure to hold", f"{plain(step.pressure_bar)} bar"),
                Fact("Time", f"{step.hold_s} s"),
                Fact("Return", "blocked"),
            )
        case BackLeakageStep():
            least = "at most" if step.volume_min_ml is None else f"{plain(step.volume_min_ml)} to"
            return (
                Fact("Pressure to hold", f"{plain(step.pressure_bar)} bar"),
                Fact("Time", f"{step.time_s} s"),
                Fact("Oil from the return", f"{least} {plain(step.volume_max_ml)} ml"),
            )


def stroke_labels(step: AnyStep) -> tuple[str, ...]:
    """One box for each stroke that the plan asks for, and two to spare."""
    if not isinstance(step, OpeningPressureStep):
        return ()
    return tuple(f"Stroke {place}" for place in range(1, step.strokes_min + 3))


def hole_options(step: AnyStep) -> tuple[Option, ...]:
    """The spray holes to tick, and the word for none."""
    if not isinstance(step, EmissionStep):
        return ()
    holes = tuple(Option(str(hole), f"Hole {hole} sprays") for hole in range(1, step.holes + 1))
    return (*holes, Option(NOTHING, "No hole sprays"))


def leak_options(step: AnyStep) -> tuple[Option, ...]:
    """The places where oil may show, and the word for none."""
    if not isinstance(step, ExternalTightnessStep):
        return ()
    places = tuple(Option(place.key, _capital(place.label), place.points_to) for place in step.places)
    return (Option(NOTHING, "No leak"), *places)


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def result_of(step: AnyStep, typed: Typed) -> StepResult:
    """The result that was typed for the step; pressures come in bar whatever unit they were typed in.

    Raises DomainError with the field at fault.
    """
    return _READERS[type(step)](step, typed)


def _vent(step: VentStep, typed: Typed) -> VentResult:
    return VentResult(air_free=_yes(typed, "air_free", "Say whether the oil comes without air."))


def _flush(step: FlushStep, typed: Typed) -> FlushResult:
    return FlushResult(
        flushed_s=typed.whole("flushed_s", "Time flushed in seconds"),
        clean=_yes(typed, "clean", "Say whether the oil comes clean."),
    )


def _strokes(step: StrokesStep, typed: Typed) -> StrokesResult:
    return StrokesResult(strokes=typed.whole("strokes", "Full strokes"))


def _seat(step: SeatTightnessStep, typed: Typed) -> SeatTightnessResult:
    return SeatTightnessResult(
        pressure_bar=_pressure(typed),
        held_s=typed.whole("held_s", "Time held in seconds"),
        dry=_yes(typed, "dry", "Say whether the nozzle stayed dry."),
    )


def _opening(step: OpeningPressureStep, typed: Typed) -> OpeningPressureResult:
    strokes: list[Decimal] = []
    for place, text in enumerate(typed.fields.get("strokes_bar", ()), start=1):
        if text.strip():
            strokes.append(_stroke(text, place))
    if len(strokes) < step.strokes_min:
        raise Refused(
            "too-few-strokes",
            f"{len(strokes)} of at least {step.strokes_min} strokes are entered: make the others too.",
            "strokes_bar",
        )
    return OpeningPressureResult(strokes_bar=tuple(strokes))


def _stroke(text: str, place: int) -> Decimal:
    """One stroke in bar; the error stands at its own box."""
    try:
        return parse_quantity(text, "bar", f"stroke-{place}")
    except MetrologyError as error:
        raise Refused(error.code, error.sentence, f"strokes_bar-{place}") from None


def _emission(step: EmissionStep, typed: Typed) -> EmissionResult:
    ticked = _ticked(typed, "spraying", "Tick every hole that sprays, or that none does.")
    if not all(hole.isascii() and hole.isdigit() and len(hole) < 4 for hole in ticked):
        raise Refused("hole", f"The nozzle has holes 1 to {step.holes}.", "spraying")
    return EmissionResult(spraying=tuple(int(hole) for hole in ticked))


def _quick_drop(step: QuickDropStep, typed: Typed) -> QuickDropResult:
    return QuickDropResult(seen=_yes(typed, "seen_drop", "Say whether the quick drop showed."))


def _external(step: ExternalTightnessStep, typed: Typed) -> ExternalTightnessResult:
    return ExternalTightnessResult(
        pressure_bar=_pressure(typed),
        held_s=typed.whole("held_s", "Time held in seconds"),
        leaks=_ticked(typed, "leaks", "Tick where it leaks, or that it does not."),
    )


def _back_leakage(step: BackLeakageStep, typed: Typed) -> BackLeakageResult:
    return BackLeakageResult(
        pressure_bar=_pressure(typed),
        measured_s=typed.whole("measured_s", "Time measured in seconds"),
        volume_ml=typed.quantity("volume_ml", "ml"),
    )


def _pressure(typed: Typed) -> Decimal:
    pressure = typed.quantity("pressure", "bar")
    if not 0 <= pressure <= 3000:
        sentence = f"Pressure reads {plain(pressure)} bar: enter 0 to 3000 bar, and check digits and unit."
        raise Refused("pressure", sentence, "pressure")
    return pressure


def _yes(typed: Typed, name: str, sentence: str) -> bool:
    if typed.text(name) not in ("yes", "no"):
        raise Refused("choice", sentence, name)
    return typed.text(name) == "yes"


def _ticked(typed: Typed, name: str, sentence: str) -> tuple[str, ...]:
    """The boxes ticked; none at all, or 'none' beside another, is no answer."""
    ticked = typed.many(name)
    if not ticked or (NOTHING in ticked and len(ticked) > 1):
        raise Refused("choice", sentence, name)
    return tuple(one for one in ticked if one != NOTHING)


_READERS: dict[type, Callable[[Any, Typed], StepResult]] = {
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
