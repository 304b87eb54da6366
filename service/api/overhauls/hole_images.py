"""Spray holes measured in photographs: measured without keeping anything, then kept as accepted or rejected."""

from datetime import datetime
from typing import Annotated, Literal

from fastapi import APIRouter
from pydantic import Field

from service.actions.hole_images import decide_hole_evaluation, measure_hole
from service.actions.shop import Actor, Shop
from service.api.bodies import Answer, Body, Count, Exact, FormKey, IdInPath, InPath, Number, Text, Yes, quantity
from service.api.description import WRITES
from service.api.exact_json import ExactRoute
from service.api.guards import AtBench, TheShop
from service.metrology.hole_image.findings import HoleEvaluation
from service.metrology.hole_image.given_scale import BarScale, GivenScale, PitchScale
from service.metrology.typed_numbers import parse_decimal
from service.records.photograph_reads import KeptEvaluation

router = APIRouter(prefix="/overhauls/{number}/photographs/{photograph_id}", tags=["overhauls"], route_class=ExactRoute)


class PitchBody(Body):
    """A calibrated pixel pitch in µm a pixel, its expanded uncertainty and coverage factor."""

    kind: Literal["pitch"]
    um_per_pixel: Number
    expanded_uncertainty: Number
    k: Number = "2"

    def given(self) -> GivenScale:
        """For the action."""
        return PitchScale(
            um_per_pixel=parse_decimal(self.um_per_pixel, "um_per_pixel"),
            expanded_uncertainty=parse_decimal(self.expanded_uncertainty, "expanded_uncertainty"),
            k=parse_decimal(self.k, "k"),
        )


class PlaceBody(Body):
    """A place in the photograph: pixels from the left and from the top."""

    x: Number
    y: Number


class BarBody(Body):
    """A scale bar of known length (µm, expanded uncertainty with k = 2) between two places of the photograph."""

    kind: Literal["bar"]
    length_um: Number
    length_uncertainty_um: Number = "0"
    start_px: PlaceBody
    end_px: PlaceBody

    def given(self) -> GivenScale:
        """For the action."""
        return BarScale(
            length_um=quantity(self.length_um, None, "µm", "length_um"),
            length_uncertainty_um=quantity(self.length_uncertainty_um, None, "µm", "length_uncertainty_um"),
            start_px=(parse_decimal(self.start_px.x, "start_px"), parse_decimal(self.start_px.y, "start_px")),
            end_px=(parse_decimal(self.end_px.x, "end_px"), parse_decimal(self.end_px.y, "end_px")),
        )


AnyScale = Annotated[PitchBody | BarBody, Field(discriminator="kind")]


class HoleMeasurementBody(Body):
    """Which hole the photograph shows, and its scale."""

    hole: Count
    scale: AnyScale


class HoleEvaluationBody(HoleMeasurementBody):
    """The decision on a measurement: its `digest` says which one; a rejection has its reason."""

    form_key: FormKey
    digest: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]
    accepted: Yes
    reason: Text = ""


class LengthAnswer(Answer):
    """A length with its expanded uncertainty (coverage factor k), in µm and in pixels."""

    value_um: float
    expanded_um: float
    value_px: float
    expanded_px: float
    k: float


class PictureQualityAnswer(Answer):
    """How good the picture was; `not_nominal` says which of the stated conditions are missed."""

    points_used: int
    points_tried: int
    coverage: float
    largest_gap_deg: float
    contrast: float
    noise: float
    blur_px: float
    scatter_px: float
    not_nominal: list[str]


class HoleAnswer(Answer):
    """The hole as the photograph shows it; `angle_deg` is that of the largest diameter, clockwise from the right."""

    mean_diameter: LengthAnswer
    major: LengthAnswer
    minor: LengthAnswer
    angle_deg: float
    ovality: LengthAnswer
    ovality_by_harmonic: LengthAnswer
    roundness: LengthAnswer
    centre_px: tuple[float, float]
    um_per_pixel: float
    quality: PictureQualityAnswer


class HoleMeasured(Answer):
    """What was found, with the digest to send with the decision. Nothing is kept."""

    found: HoleAnswer
    digest: str


class EvaluationAdded(Answer):
    """The number of the evaluation that is kept."""

    id: int


class ScaleAnswer(Answer):
    """The scale as it was given: either a pitch, or a bar."""

    kind: Literal["pitch", "bar"]
    um_per_pixel: Exact | None = None
    expanded_uncertainty: Exact | None = None
    k: Exact | None = None
    length_um: Exact | None = None
    length_uncertainty_um: Exact | None = None
    start_px: tuple[Exact, Exact] | None = None
    end_px: tuple[Exact, Exact] | None = None


class EvaluationAnswer(Answer):
    """A hole measured in a photograph, and what was decided."""

    id: int
    hole: int
    scale: ScaleAnswer
    found: HoleAnswer
    accepted: bool
    reason: str
    recorded_at: datetime
    person_name: str


@router.post("/hole-measurements", operation_id="measure_hole_image", responses=WRITES)
def measure(
    number: InPath, photograph_id: IdInPath, body: HoleMeasurementBody, actor: Actor = AtBench, shop: Shop = TheShop
) -> HoleMeasured:
    """Measure the one hole in the photograph. Nothing is kept; no verdict follows from it."""
    made = measure_hole(shop, actor, number, photograph_id, hole=body.hole, scale=body.scale.given())
    return HoleMeasured(found=hole_answer(made.found), digest=made.digest)


@router.post("/hole-evaluations", status_code=201, operation_id="decide_hole_evaluation", responses=WRITES)
def decide(
    number: InPath, photograph_id: IdInPath, body: HoleEvaluationBody, actor: Actor = AtBench, shop: Shop = TheShop
) -> EvaluationAdded:
    """Accept or reject what was measured; it is kept with the photograph, beside the gauge's verdict."""
    made = decide_hole_evaluation(
        shop,
        actor,
        number,
        photograph_id,
        form_key=body.form_key,
        hole=body.hole,
        scale=body.scale.given(),
        digest=body.digest,
        accepted=body.accepted,
        reason=body.reason,
    )
    return EvaluationAdded(id=made)


def evaluation_answer(one: KeptEvaluation) -> EvaluationAnswer:
    """A kept evaluation for the answer."""
    return EvaluationAnswer(
        id=one.id,
        hole=one.hole,
        scale=ScaleAnswer.model_validate(one.scale.as_plain()),
        found=hole_answer(one.found),
        accepted=one.accepted,
        reason=one.reason,
        recorded_at=one.recorded_at,
        person_name=one.person_name,
    )


def hole_answer(found: HoleEvaluation) -> HoleAnswer:
    """A finding for the answer, without its hundreds of edge points."""
    return HoleAnswer.model_validate(found)
