"""All desk calculators in one list."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.pages.desk_calculators.asking import PLACE, frame_of
from service.pages.guards import AtBench, renderer_of
from service.pages.rendering import Frame

router = APIRouter()


@dataclass(frozen=True)
class Calculator:
    """One calculator on the shelf."""

    href: str
    title: str
    sentence: str
    standard: str


@dataclass(frozen=True)
class ShelfPage:
    """The list of the calculators."""

    page: Frame
    calculators: tuple[Calculator, ...]


CALCULATORS = (
    Calculator(
        f"{PLACE}/limits", "Limits of size", "The limits behind a designation such as 0.85 H9.", "ISO 286-1, to 500 mm"
    ),
    Calculator(f"{PLACE}/fit", "Fit", "Clearance or interference of a hole and a shaft.", "ISO 286-1, to 500 mm"),
    Calculator(
        f"{PLACE}/pins", "Gauge pins", "Go and no-go pins for a class of holes, with wear.", "Limits by ISO 286-1"
    ),
    Calculator(
        f"{PLACE}/spray-holes",
        "Spray holes",
        "Size of each hole from the pins tried, spread and flow area.",
        "JCGM 100, ISO 14253-1",
    ),
    Calculator(
        f"{PLACE}/conformity",
        "Conformity",
        "Does a value conform, in spite of its uncertainty?",
        "ISO 14253-1, JCGM 106",
    ),
    Calculator(
        f"{PLACE}/uncertainty",
        "Uncertainty budget",
        "What the contributions come to, and which of them counts.",
        "JCGM 100 (GUM)",
    ),
    Calculator(
        f"{PLACE}/roundness", "Roundness", "Four reference circles and a polar plot of points.", "ISO 12181, ISO 4291"
    ),
    Calculator(
        f"{PLACE}/hole-image",
        "Hole in a photograph",
        "Diameter, ovality and roundness, with their uncertainty.",
        "ISO 12181, JCGM 100 (GUM)",
    ),
    Calculator(
        f"{PLACE}/opening-pressure",
        "Opening pressure",
        "From spring, guide and seat, with what a disc changes.",
        "Hooke’s law",
    ),
    Calculator(f"{PLACE}/discs", "Adjusting discs", "The fewest discs into the band, every tie.", "Exact search"),
    Calculator(
        f"{PLACE}/trace",
        "Pressure trace",
        "Openings and holds of a bench test, from a logger’s file.",
        "Least squares, Student’s t",
    ),
    Calculator(
        f"{PLACE}/recuts",
        "Recuts",
        "Metal left on a seat, and how many more cuts it likely bears.",
        "By cuts on record",
    ),
    Calculator(f"{PLACE}/imo", "IMO number", "Does a ship’s number have the right check digit?", "IMO A.1117(30)"),
)


@router.get(PLACE)
def show_calculators(request: Request, actor: Actor = AtBench) -> Response:
    """What there is to calculate."""
    page = ShelfPage(frame_of(request, "Calculators", actor), CALCULATORS)
    return renderer_of(request).page("desk_calculators/shelf.html", page)
