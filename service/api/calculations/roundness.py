"""The four reference circles of points, and the lobes that the section is made of."""

from typing import Annotated

from fastapi import APIRouter
from pydantic import Field

from service.actions.shop import Actor
from service.api.bodies import Answer, Body
from service.api.calculations.uncertainty import PlainNumber
from service.api.description import WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench

router = APIRouter(prefix="/calculations", tags=["calculations"], route_class=ExactRoute)
HIGHEST_ANSWERED = 50
"""Undulations per revolution: what uneven points carry at most."""
Pair = Annotated[list[PlainNumber], Field(min_length=2, max_length=2)]


class RoundnessBody(Body):
    """Points of one section, each as x and y in mm, in any order."""

    points: Annotated[list[Pair], Field(max_length=250_000)]


class ReferenceCircleAnswer(Answer):
    """One reference circle in mm and the roundness deviation about its centre."""

    x_mm: float
    y_mm: float
    radius_mm: float
    deviation_mm: float


class MinimumZoneAnswer(ReferenceCircleAnswer):
    """The minimum zone with its two circles; its radius is midway between them."""

    inner_mm: float
    outer_mm: float


class LobesAnswer(Answer):
    """One harmonic: its amplitude is half of its peak to valley."""

    undulations_per_revolution: int
    amplitude_mm: float
    crest_deg: float


class LobingAnswer(Answer):
    """The harmonics about the least-squares centre, from one undulation per revolution upwards."""

    mean_radius_mm: float
    lobes: list[LobesAnswer]


class CirclesAnswer(Answer):
    """The four circles; no circle is inscribed where the points leave one side open."""

    least_squares: ReferenceCircleAnswer
    minimum_zone: MinimumZoneAnswer
    minimum_circumscribed: ReferenceCircleAnswer
    maximum_inscribed: ReferenceCircleAnswer | None


class RoundnessAnswer(CirclesAnswer):
    """The four circles and the lobing spectrum, null where the points carry none, as those of an arc."""

    lobing: LobingAnswer | None


@router.post("/roundness", operation_id="calculate_roundness", responses=WRITES)
def calculate_roundness(body: RoundnessBody, actor: Actor = AtBench) -> RoundnessAnswer:
    """Roundness of one section by ISO 12181; no filter is applied and nothing is stored."""
    # NumPy loads with the first section that is evaluated: the server starts without it.
    from service.metrology.roundness import roundness
    from service.metrology.section_form import section_lobes

    circles = CirclesAnswer.model_validate(roundness(body.points))
    spectrum = section_lobes(body.points)
    lobing = None
    if spectrum is not None:
        shown = spectrum.lobes[:HIGHEST_ANSWERED]
        lobing = LobingAnswer(
            mean_radius_mm=spectrum.mean_radius_mm, lobes=[LobesAnswer.model_validate(one) for one in shown]
        )
    return RoundnessAnswer(**circles.model_dump(), lobing=lobing)
