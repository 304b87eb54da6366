"""Steps of the test plan: what all share, and what each kind asks for."""

from typing import Any

from service.actions.shop import Refused
from service.pages.limit_sheets.forms.fields import Values, key_of, number, quantity_or_none, words
from service.pages.limit_sheets.forms.rows import place_values, read_places
from service.pages.typed_forms import Typed
from service.workshop.limit_sheet import LimitSheet
from service.workshop.sheet_editing import Section
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
from service.workshop.test_rig import LONGEST_S


def step_values(item: AnyStep) -> Values:
    """The step as its form shows it."""
    shared: Values = {"key": item.key, "title": item.title, "how": item.how, "on_fail": item.on_fail}
    shared["causes"] = "\n".join(item.causes)
    return {**shared, **_kind_values(item)}


def read_step(typed: Typed, sheet: LimitSheet, kind: str, old_key: str | None) -> AnyStep:
    """The step of that kind that was typed."""
    title = words(typed, "title", "Give the step a title.")
    shared: dict[str, Any] = {
        "key": key_of(typed, sheet, Section.STEPS, title, old_key),
        "title": title,
        "how": words(typed, "how", "Say in a sentence or two how the step is done."),
        "on_fail": typed.text("on_fail"),
        "causes": tuple(cause for line in typed.text("causes").splitlines() if (cause := line.strip())),
    }
    match kind:
        case "vent":
            return VentStep(**shared)
        case "flush":
            return FlushStep(**shared, flush_s=_seconds(typed, "flush_s", "Time flushed"))
        case "strokes":
            least, most = typed.whole("strokes_min", "Strokes at least"), typed.whole("strokes_max", "Strokes at most")
            if not 1 <= least <= most:
                raise Refused("strokes", "It needs 1 ≤ at least ≤ at most.", "strokes_min")
            return StrokesStep(**shared, strokes_min=least, strokes_max=most)
        case "seat-tightness":
            margin = typed.pressure_bar("margin_bar")
            return SeatTightnessStep(
                **shared, margin_bar=margin, hold_s=_seconds(typed, "hold_s", "Time held"), places=read_places(typed)
            )
        case "opening-pressure":
            strokes = typed.whole("strokes_min", "Strokes at least")
            spread = typed.pressure_bar("spread_max_bar")
            return OpeningPressureStep(**shared, strokes_min=strokes, spread_max_bar=spread)
        case "emission":
            return EmissionStep(**shared, holes=typed.whole("holes", "Spray holes"))
        case "quick-drop":
            return QuickDropStep(**shared)
        case "external-tightness":
            pressure = typed.pressure_bar("pressure_bar")
            return ExternalTightnessStep(
                **shared,
                pressure_bar=pressure,
                hold_s=_seconds(typed, "hold_s", "Time held"),
                places=read_places(typed),
            )
        case "back-leakage":
            return _back_leakage(typed, shared)
        case _:
            raise Refused("kind", "There is no such kind of test step.", "")


def _back_leakage(typed: Typed, shared: dict[str, Any]) -> BackLeakageStep:
    return BackLeakageStep(
        **shared,
        pressure_bar=typed.pressure_bar("pressure_bar"),
        time_s=_seconds(typed, "time_s", "Time"),
        volume_max_ml=typed.quantity("volume_max_ml", "ml"),
        volume_min_ml=quantity_or_none(typed, "volume_min_ml", "ml"),
    )


def _kind_values(item: AnyStep) -> Values:
    match item:
        case StrokesStep():
            return {"strokes_min": str(item.strokes_min), "strokes_max": str(item.strokes_max)}
        case SeatTightnessStep():
            margin: Values = {"margin_bar": number(item.margin_bar), "hold_s": str(item.hold_s)}
            return {**margin, **place_values(item.places)}
        case OpeningPressureStep():
            return {"strokes_min": str(item.strokes_min), "spread_max_bar": number(item.spread_max_bar)}
        case EmissionStep():
            return {"holes": str(item.holes)}
        case ExternalTightnessStep():
            held: Values = {"pressure_bar": number(item.pressure_bar), "hold_s": str(item.hold_s)}
            return {**held, **place_values(item.places)}
        case FlushStep():
            return {"flush_s": str(item.flush_s)}
        case BackLeakageStep():
            return {
                "pressure_bar": number(item.pressure_bar),
                "time_s": str(item.time_s),
                "volume_max_ml": number(item.volume_max_ml),
                "volume_min_ml": number(item.volume_min_ml),
            }
        case VentStep() | QuickDropStep():
            return {}


def _seconds(typed: Typed, name: str, words_for_it: str) -> int:
    seconds = typed.whole(name, words_for_it)
    if not 1 <= seconds <= LONGEST_S:
        raise Refused("hold", f"{words_for_it}: enter 1 to {LONGEST_S} seconds.", name)
    return seconds
