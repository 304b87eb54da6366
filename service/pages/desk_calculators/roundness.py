"""Roundness of a section from its points: four reference circles, an optional limit, the polar plot."""

import re
from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response
from markupsafe import Markup

from service.actions.shop import Actor, Refused
from service.metrology.conformity import judge
from service.metrology.errors import DomainError
from service.pages.choices import Option
from service.pages.desk_calculators.asking import frame_of, status_of_answer
from service.pages.desk_calculators.verdict_words import VerdictWords, verdict_words
from service.pages.guards import AtBench
from service.pages.lobing_view import LobingShown, lobing_shown
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed, TypedForm, errors_of
from service.pages.typed_points import points_shown_again, points_text

router = APIRouter()
UPLOAD_PATHS = re.compile(r"/(?:calculators|api/v1/calculations)/roundness")
UPLOAD_LIMIT_BYTES = 8_000_000
_FIELDS = {"expanded_uncertainty": "uncertainty"}
_FINEST_UM = Decimal("0.0001")  # below it the digits are those of binary arithmetic
CIRCLES = (
    Option("minimum_zone", "Minimum zone (MZ)"),
    Option("least_squares", "Least squares (LS)"),
    Option("minimum_circumscribed", "Minimum circumscribed (MC)"),
    Option("maximum_inscribed", "Maximum inscribed (MI)"),
)
_USUAL: dict[str, str | list[str]] = {"about": "minimum_zone", "shown": ["minimum_zone", "least_squares"]}


@dataclass(frozen=True)
class CircleRow:
    """One reference circle, mm and µm."""

    name: str
    x: str
    y: str
    radius: str
    deviation: str


@dataclass(frozen=True)
class RoundnessAnswer:
    """The circles, the verdict on a limit if there is one, the plot, the plot in words, the lobes."""

    heading: str
    rows: tuple[CircleRow, ...]
    note: str
    verdict: VerdictWords | None
    drawing: Markup
    in_words: str
    lobing: LobingShown | None


@dataclass(frozen=True)
class RoundnessPage:
    """What was given and what it shows."""

    page: Frame
    form: FormState
    circles: tuple[Option, ...]
    found: RoundnessAnswer | None


@router.get("/calculators/roundness")
def show_roundness(request: Request, actor: Actor = AtBench) -> Response:
    """An empty form."""
    return _answered(request, actor, Typed({}, {}), None, None)


@router.post("/calculators/roundness")
def work_out_roundness(request: Request, typed: Typed = TypedForm, actor: Actor = AtBench) -> Response:
    """Evaluate the points; nothing is stored."""
    found, error = None, None
    try:
        found = _found(typed)
    except DomainError as refusal:
        error = refusal
    return _answered(request, actor, typed, found, error)


def _answered(
    request: Request, actor: Actor, typed: Typed, found: RoundnessAnswer | None, error: DomainError | None
) -> Response:
    values: dict[str, str | list[str]] = dict(_USUAL)
    if typed.fields:
        values = {name: given[0] for name, given in typed.fields.items() if given}
        values["shown"] = list(typed.many("shown"))
        values["points"] = points_shown_again(typed)
    errors = {_FIELDS.get(name, name): sentence for name, sentence in errors_of(error).items()}
    form = FormState(values, errors)
    page = RoundnessPage(frame_of(request, "Roundness", actor), form, CIRCLES, found)
    return whole_or_part(request, "desk_calculators/roundness", page, status_of_answer(error))


def _found(typed: Typed) -> RoundnessAnswer:
    # NumPy loads with the first section that is evaluated: the server starts without it.
    from service.documents.polar_lines import Reference
    from service.documents.polar_plot import polar_plot
    from service.documents.polar_scale import in_um
    from service.metrology.point_lists import parse_points
    from service.metrology.roundness import roundness
    from service.metrology.section_form import section_lobes

    about = typed.choice("about", Reference, "Evaluate about")
    shown = tuple(one for one in Reference if one.value in typed.many("shown"))
    limit_um = typed.quantity("limit", "µm") if typed.text("limit") else None
    if limit_um is not None and limit_um <= 0:
        raise Refused(
            "limit-not-positive", "A limit of the deviation is over zero: correct it or leave it out.", "limit"
        )
    doubt_um = typed.quantity("uncertainty", "µm") if typed.text("uncertainty") else Decimal(0)
    points = parse_points(points_text(typed))
    circles = roundness(points)
    chosen = about.of(circles)
    if chosen is None:
        sentence = "The points leave one side open, so no circle is inscribed: evaluate about another one."
        raise Refused("not-surrounded", sentence, "about")
    limit_mm = None if limit_um is None else float(limit_um) / 1000
    plot = polar_plot(points, circles, about=about, shown=shown, limit_mm=limit_mm)
    deviation_um = in_um(chosen.deviation_mm)
    verdict = None
    if limit_um is not None:
        verdict = judge(
            (Decimal(repr(chosen.deviation_mm)) * 1000).quantize(_FINEST_UM), None, limit_um, doubt_um, Decimal(1)
        )
    rows = [
        CircleRow(
            one.label, f"{circle.x_mm:.5f}", f"{circle.y_mm:.5f}", f"{circle.radius_mm:.5f}", in_um(circle.deviation_mm)
        )
        for one in Reference
        if (circle := one.of(circles)) is not None
    ]
    return RoundnessAnswer(
        heading=f"Roundness deviation {deviation_um} µm ({about.label.lower()})",
        rows=tuple(rows),
        note="" if len(rows) == len(Reference) else "No circle is inscribed: the points leave one side open.",
        verdict=None if verdict is None else verdict_words(verdict, "µm"),
        # The plot is made of `service.documents.drawing`, which escapes what it writes.
        drawing=Markup(plot.svg),
        in_words=plot.description,
        lobing=lobing_shown(section_lobes(points)),
    )
