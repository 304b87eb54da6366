"""The limits of an ISO 286 class as soon as its designation is typed."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.metrology.designations import tolerance_class
from service.metrology.errors import DomainError
from service.metrology.limits_and_fits import limits_of_size
from service.metrology.typed_numbers import plain
from service.pages.guards import Manager, renderer_of

router = APIRouter()


@dataclass(frozen=True)
class ClassLimits:
    """What ISO 286-1 gives to a designation; `sentence` says why it gives nothing."""

    designation: str
    span: str
    deviations: str
    sentence: str


@dataclass(frozen=True)
class ClassLimitsPart:
    """The part of the form that shows them; None while nothing is typed."""

    limits: ClassLimits | None


def class_limits(text: str) -> ClassLimits | None:
    """The limits of the designation, None for an empty one."""
    if not text.strip():
        return None
    try:
        named = tolerance_class(text)
        limits = limits_of_size(named)
    except DomainError as error:
        return ClassLimits(text.strip()[:40], "", "", error.sentence)
    upper, lower = (f"{'+' if mm > 0 else ''}{plain(mm * 1000)}" for mm in (limits.upper_mm, limits.lower_mm))
    return ClassLimits(
        designation=str(named),
        span=f"{plain(limits.min_mm)} to {plain(limits.max_mm)} mm",
        deviations=f"{lower} and {upper} µm from {plain(limits.nominal_mm)} mm",
        sentence="",
    )


@router.get("/limit-sheets/class-limits")
def show_class_limits(request: Request, designation: str = "", actor: Actor = Manager) -> Response:
    """The part that htmx swaps while the designation is typed."""
    return renderer_of(request).page("limit_sheets/_class_limits.html", ClassLimitsPart(class_limits(designation)))
