"""The fit of a hole and a shaft, with a drawing of the two tolerance intervals."""

from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response
from markupsafe import Markup

from service.actions.shop import Actor, Refused
from service.metrology.designations import fit_classes
from service.metrology.errors import DomainError
from service.metrology.limits_and_fits import Fit, fit
from service.metrology.typed_numbers import plain
from service.pages.desk_calculators.asking import asked, frame_of, kept_address, status_of_answer
from service.pages.desk_calculators.fit_drawing import fit_drawing
from service.pages.desk_calculators.size_rows import SizeRow, size_row
from service.pages.guards import AtBench
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed, errors_of

router = APIRouter()
_NM_PER_UM = 1000


@dataclass(frozen=True)
class FitAnswer:
    """One fit in words and as a drawing."""

    heading: str
    sentence: str
    rows: tuple[SizeRow, ...]
    drawing: Markup


@dataclass(frozen=True)
class FitPage:
    """The designation typed and its fit."""

    page: Frame
    form: FormState
    found: FitAnswer | None
    address: str


@router.get("/calculators/fit")
def show_fit(request: Request, actor: Actor = AtBench) -> Response:
    """A fit by ISO 286-1."""
    typed, found, error = asked(request), None, None
    try:
        found = _found(typed) if typed.fields else None
    except DomainError as refusal:
        error = refusal
    form = FormState({"designation": "".join(typed.fields.get("designation", ())[:1])}, errors_of(error))
    page = FitPage(frame_of(request, "Fit", actor), form, found, kept_address(request, error))
    return whole_or_part(request, "desk_calculators/fit", page, status_of_answer(error))


def _found(typed: Typed) -> FitAnswer:
    text = typed.text("designation")
    if not text:
        raise Refused("designation-missing", "Type a fit such as 25 H7/g6.", "designation")
    of_fit = fit(text)
    hole, shaft = fit_classes(text)
    return FitAnswer(
        f"{hole}/{shaft.class_name}: {of_fit.kind} fit",
        _sentence(of_fit),
        (size_row(str(hole), of_fit.hole), size_row(str(shaft), of_fit.shaft)),
        fit_drawing(of_fit, str(hole), str(shaft)),
    )


def _sentence(found: Fit) -> str:
    largest, smallest = _um(found.clearance_max_nm), _um(found.clearance_min_nm)
    match found.kind:
        case "clearance":
            return f"The clearance lies between {smallest} and {largest} µm."
        case "interference":
            return (
                f"The interference lies between {_um(-found.clearance_max_nm)} and {_um(-found.clearance_min_nm)} µm."
            )
        case "transition":
            return f"Anything from an interference of {_um(-found.clearance_min_nm)} µm to a clearance of {largest} µm."


def _um(nanometres: int) -> str:
    return plain(Decimal(nanometres) / _NM_PER_UM)
