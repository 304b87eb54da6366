"""The answers to choose from at a bench step. Every question has a third one: cannot tell."""

from service.pages.choices import Option
from service.workshop.test_plan import AnyStep, ExternalTightnessStep, LeakPlace, OpeningPressureStep, SeatTightnessStep

NOTHING = "none"
"""Ticked to say that nothing leaks: an empty form is not an answer."""
UNCLEAR = "unclear"
"""Chosen to say that nobody could tell."""

YES_NO = (Option("yes", "Yes"), Option("no", "No"), Option(UNCLEAR, "Cannot tell"))
DRY_WET = (Option("yes", "Stayed dry"), Option("no", "Oil came"), Option(UNCLEAR, "Cannot tell"))
SPRAYS = (Option("yes", "Sprays"), Option("no", "Does not"), Option(UNCLEAR, "Cannot tell"))


def stroke_labels(step: AnyStep) -> tuple[str, ...]:
    """One box for each stroke that the plan asks for, and two to spare."""
    if not isinstance(step, OpeningPressureStep):
        return ()
    return tuple(f"Stroke {place}" for place in range(1, step.strokes_min + 3))


def leak_options(step: AnyStep) -> tuple[Option, ...]:
    """The places where oil may show; at the external test also the words for none and for cannot tell."""
    if isinstance(step, SeatTightnessStep):
        return tuple(_place(one) for one in step.places)
    if not isinstance(step, ExternalTightnessStep):
        return ()
    unclear = Option(UNCLEAR, "Cannot tell", "Oil shows, or may, and its place cannot be seen")
    return (Option(NOTHING, "No leak"), *(_place(one) for one in step.places), unclear)


def _place(place: LeakPlace) -> Option:
    return Option(place.key, place.label[:1].upper() + place.label[1:], place.points_to)
