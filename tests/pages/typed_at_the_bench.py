"""What a technician types on the receiving and examination pages for the small sheet. All invented."""

import httpx

from tests.pages.at_the_bench import Injector
from tests.pages.forms_on_page import Visitor, form_of
from tests.registered_fleet import Fleet

Typed = dict[str, str | list[str]]


def injector_row(place: int, fleet: Fleet, serial: str, **instead: str) -> Typed:
    """One injector of the receiving form."""
    fields = {
        "serial": serial,
        "engine_id": str(fleet.engine_id),
        "cylinder": "3",
        "fuel": "residual",
        "reason": "dribbling",
        "packing": "sound",
    }
    return {f"injectors.{place}.{name}": value for name, value in (fields | instead).items()}


def pin_answers(*holes: str) -> Typed:
    """One letter for each pin of each hole: e enters, n does not, - not tried."""
    words = {"e": "enters", "n": "not"}
    answers: Typed = {
        f"hole-{hole}-pin-{place}": words[letter]
        for hole, letters in enumerate(holes, start=1)
        for place, letter in enumerate(letters, start=1)
        if letter in words
    }
    return {**answers, "instrument": "PINS-1"}


SOUND: dict[str, Typed] = {
    "body-cracks": {"findings": "none"},
    "body-seat-width": {"readings": "1,10 mm", "instrument": "MIC-1"},
    "body-pin": {"answer": "yes"},
    "nozzle-holes": pin_answers("een", "een", "een", "een"),
    "nozzle-ovality": {
        **{f"section-{hole}": ["0.860", "862 µm"] for hole in range(1, 5)},
        "instrument": "BORE-1",
    },
    "nozzle-tip": {"findings": "clean"},
    "needle-seat": {"findings": "even", "magnification": "10×", "instrument": "SCOPE-1"},
    "needle-guide": {"readings": ["5.996", "5,997"], "instrument": "MIC-1"},
    "spring-length": {"readings": "59.90", "instrument": "HEIGHT-1"},
    "spring-rate": {"readings": "100 N/mm", "instrument": "RATE-1"},
}
"""By characteristic, in the sheet's order; with units and decimal commas as people type them."""


def strip(technician: Visitor, injector: Injector) -> Injector:
    """Every part came out freely."""
    free = {f"state-{part}": "free" for part in ("body", "nozzle", "needle", "spring")}
    technician.fill(f"{injector.address}/strip", "/strip", seals_discarded="yes", **free)
    return injector


def record(technician: Visitor, injector: Injector, key: str, typed: Typed, part: bool = False) -> httpx.Response:
    """Open the characteristic's page, type, send."""
    address = f"{injector.address}/examination/{key}"
    return technician.send(form_of(technician.get(address), address), part=part, **typed)
