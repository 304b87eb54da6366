"""Spray holes gauged at the desk: for programs as the keys of command and API, for people as labelled facts."""

from collections.abc import Iterator
from decimal import Decimal

from service.documents.nozzle_words import in_words
from service.metrology.typed_numbers import plain
from service.workshop.nozzle_found import Bounded, HoleFound
from service.workshop.typed_spray_holes import TypedNozzle

K = Decimal(2)


def nozzle_answer(gauged: TypedNozzle) -> dict[str, object]:
    """Every hole in mm, spread in mm, areas in mm²; null is what an open hole or no nominal size leaves unknown."""
    found = gauged.found
    return {
        "holes": [_hole(one, gauged.judged) for one in found.holes],
        "open_holes": list(found.open_holes),
        "spread_mm": _bounded(found.spread),
        "flow_area_mm2": _bounded(found.area),
        "nominal_area_mm2": found.nominal_area,
        "percent_of_nominal": _bounded(found.of_nominal),
        "k": K,
    }


def typed_facts(gauged: TypedNozzle) -> Iterator[tuple[str, str]]:
    """Label and value of what the holes make together; what is not known says why."""
    found, new = gauged.found, gauged.new
    doubt = gauged.pins_uncertainty
    yield "U of a pin", f"{plain(doubt)} mm" if doubt else "none given: the pins count as exact"
    if found.open_holes:
        holes = ", ".join(str(hole) for hole in found.open_holes)
        yield "Spread, flow area", f"not known: the size of hole {holes} is open to one side"
        return
    spread = "not known: a spread needs two holes" if found.spread is None else in_words(found.spread, "mm")
    yield "Hole to hole", spread
    if found.area is not None:
        yield "Flow area", in_words(found.area, "mm²")
    if found.nominal_area is None or found.of_nominal is None or new.nominal_diameter is None:
        yield "Against nominal", "not known: no nominal size is given"
        return
    yield "Nominal area", f"{plain(found.nominal_area)} mm², {new.holes} × {plain(new.nominal_diameter)} mm"
    yield "Against nominal", in_words(found.of_nominal, "%")


def _hole(one: HoleFound, judged: bool) -> dict[str, object]:
    return {
        "hole": one.hole,
        "largest_entering_mm": one.entering,
        "smallest_refused_mm": one.refused,
        "lower_mm": one.lower,
        "upper_mm": one.upper,
        "middle_mm": one.best,
        "expanded_uncertainty_mm": one.uncertainty,
        "verdict": one.verdict.value if judged else None,
    }


def _bounded(value: Bounded | None) -> dict[str, Decimal] | None:
    if value is None:
        return None
    return {
        "value": value.value,
        "expanded_uncertainty": value.uncertainty,
        "least": value.least,
        "most": value.most,
    }
