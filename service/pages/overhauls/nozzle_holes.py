"""The spray holes of a nozzle as they are drawn: place, state and sentence of each."""

from dataclasses import dataclass

from service.documents.nozzle_drawing import place_of
from service.metrology.typed_numbers import plain
from service.workshop.entries import Examined
from service.workshop.examination import section_ovality
from service.workshop.limit_sheet import AnyCharacteristic, OvalityCharacteristic, PinCharacteristic
from service.workshop.measurements import OvalityMeasurement, PinMeasurement
from service.workshop.vocabulary import VerdictKind


@dataclass(frozen=True)
class HoleDrawn:
    """One hole of the drawing."""

    number: int
    x: float
    y: float
    state: str
    label: str


def holes_drawn(item: AnyCharacteristic, found: Examined | None) -> tuple[HoleDrawn, ...]:
    """The holes, hole 1 on top and clockwise; nothing for a characteristic without spray holes."""
    match item:
        case PinCharacteristic(holes=count):
            pass
        case OvalityCharacteristic(sections=count, section_name="hole"):
            pass
        case _:
            return ()
    return tuple(_hole(item, found, number, count) for number in range(1, count + 1))


def _hole(item: AnyCharacteristic, found: Examined | None, number: int, count: int) -> HoleDrawn:
    x, y = place_of(number, count)
    state, label = _told(item, found, number)
    return HoleDrawn(
        number=number,
        x=x,
        y=y,
        state=state.value,
        label=f"Hole {number}: {label}",
    )


def _told(item: AnyCharacteristic, found: Examined | None, number: int) -> tuple[VerdictKind, str]:
    """The hole's own verdict, as it was judged then, and its words."""
    if found is None:
        return VerdictKind.NOT_MEASURED, "not examined"
    match item, found.measurement:
        case PinCharacteristic(), PinMeasurement(passes=passes):
            tried = sorted((one for one in passes if one.hole == number), key=lambda one: one.pin)
            words = ", ".join(f"{plain(one.pin)} mm {'enters' if one.enters else 'does not'}" for one in tried)
            return _state(found, number) if tried else VerdictKind.NOT_MEASURED, words or "not tried"
        case OvalityCharacteristic(), OvalityMeasurement(diameters=diameters):
            words = f"largest ovality {plain(section_ovality(diameters[number - 1]))} mm"
            return _state(found, number), words
        case _:
            return found.outcome.verdict, found.outcome.value


def _state(found: Examined, number: int) -> VerdictKind:
    if number not in found.outcome.failed_holes:
        return VerdictKind.CONFORMS
    return VerdictKind.NOT_PROVEN if number in found.outcome.unproven_holes else VerdictKind.DOES_NOT_CONFORM
