"""One hole in a photograph at the desk: the scale is given, the finding drawn over the picture and listed."""

import re
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response
from markupsafe import Markup

from service.actions.hole_images import measure_picture, picture_to_show
from service.actions.photographs import PHOTOGRAPH_LIMIT_BYTES
from service.actions.shop import Actor
from service.documents.hole_overlay import data_uri, hole_overlay_svg, in_words
from service.metrology.errors import DomainError
from service.metrology.hole_image.findings import HoleEvaluation
from service.pages.choices import Option
from service.pages.desk_calculators.asking import frame_of, status_of_answer
from service.pages.guards import AtBench
from service.pages.hole_scale_form import SCALES, typed_scale
from service.pages.hole_words import quality_facts
from service.pages.overhauls.small_forms import Fact
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed, TypedForm

router = APIRouter()
UPLOAD_PATHS = re.compile(r"/(?:calculators|api/v1/calculations)/hole-image")
UPLOAD_LIMIT_BYTES = PHOTOGRAPH_LIMIT_BYTES + 20_000
"""One photograph, and what a form wraps around it."""


@dataclass(frozen=True)
class LengthRow:
    """One length with its expanded uncertainty, mm."""

    name: str
    value: str
    uncertainty: str
    k: str


@dataclass(frozen=True)
class HoleImageAnswer:
    """The drawing, the lengths, how good the picture was."""

    heading: str
    rows: tuple[LengthRow, ...]
    direction: str
    not_nominal: tuple[str, ...]
    quality: tuple[Fact, ...]
    drawing: Markup
    in_words: str


@dataclass(frozen=True)
class HoleImageCalculatorPage:
    """What was given and what the photograph shows."""

    page: Frame
    form: FormState
    scales: tuple[Option, ...]
    found: HoleImageAnswer | None


@router.get("/calculators/hole-image")
def show_hole_calculator(request: Request, actor: Actor = AtBench) -> Response:
    """An empty form."""
    return _answered(request, actor, Typed({"scale_by": ("pitch",)}, {}), None, None)


@router.post("/calculators/hole-image")
def measure_at_the_desk(request: Request, typed: Typed = TypedForm, actor: Actor = AtBench) -> Response:
    """Measure the hole; nothing is stored."""
    found, error = None, None
    try:
        found = _found(actor, typed)
    except DomainError as refusal:
        error = refusal
    return _answered(request, actor, typed, found, error)


def _answered(
    request: Request, actor: Actor, typed: Typed, found: HoleImageAnswer | None, error: DomainError | None
) -> Response:
    page = HoleImageCalculatorPage(frame_of(request, "Hole in a photograph", actor), typed.shown(error), SCALES, found)
    return whole_or_part(request, "desk_calculators/hole_image", page, status_of_answer(error))


def _found(actor: Actor, typed: Typed) -> HoleImageAnswer:
    content = typed.files.get("picture", b"")
    found = measure_picture(actor, content, typed_scale(typed))
    shown = picture_to_show(actor, content)
    size = found.mean_diameter
    heading = f"Mean diameter {size.value_um / 1000:.4f} ± {size.expanded_um / 1000:.4f} mm"
    # The drawing escapes the two texts that it is given; all else in it are numbers.
    drawing = hole_overlay_svg(found, data_uri(shown.content, shown.media_type), shown.width, shown.height, heading)
    return HoleImageAnswer(
        heading=heading,
        rows=_rows(found),
        direction=f"The largest diameter lies at {found.angle_deg:.0f}°, clockwise from the right of the picture.",
        not_nominal=found.quality.not_nominal,
        quality=quality_facts(found),
        drawing=Markup(drawing),
        in_words=in_words(found),
    )


def _rows(found: HoleEvaluation) -> tuple[LengthRow, ...]:
    lengths = (
        ("Mean diameter", found.mean_diameter),
        ("Largest diameter", found.major),
        ("Smallest diameter", found.minor),
        ("Ovality, largest less smallest", found.ovality),
        ("Ovality, second harmonic", found.ovality_by_harmonic),
        ("Roundness, filtered at 15 upr", found.roundness),
    )
    return tuple(
        LengthRow(name, f"{one.value_um / 1000:.4f}", f"{one.expanded_um / 1000:.4f}", f"{one.k:.2f}")
        for name, one in lengths
    )
