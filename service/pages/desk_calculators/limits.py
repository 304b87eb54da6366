"""Limits of size of one or several designations."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor, Refused
from service.metrology.designations import tolerance_class
from service.metrology.errors import DomainError
from service.metrology.limits_and_fits import limits_of_size
from service.pages.desk_calculators.asking import asked, frame_of, kept_address, status_of_answer
from service.pages.desk_calculators.size_rows import SizeRow, size_row
from service.pages.guards import AtBench
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed, errors_of

router = APIRouter()
_MOST = 100


@dataclass(frozen=True)
class LimitsPage:
    """The designations typed and their limits; `address` asks the same again."""

    page: Frame
    form: FormState
    rows: tuple[SizeRow, ...]
    address: str


@router.get("/calculators/limits")
def show_limits(request: Request, actor: Actor = AtBench) -> Response:
    """Limits of size by ISO 286-1."""
    typed, rows, error = asked(request), tuple[SizeRow, ...](), None
    try:
        rows = _rows(typed) if typed.fields else ()
    except DomainError as refusal:
        error = refusal
    form = FormState({"designation": "\n".join(typed.fields.get("designation", ()))}, errors_of(error))
    page = LimitsPage(frame_of(request, "Limits of size", actor), form, rows, kept_address(request, error))
    return whole_or_part(request, "desk_calculators/limits", page, status_of_answer(error))


def _rows(typed: Typed) -> tuple[SizeRow, ...]:
    lines = [part.strip() for text in typed.many("designation") for part in text.replace(";", "\n").splitlines()]
    designations = [one for one in lines if one]
    if not designations:
        raise Refused("designation-missing", "Type a designation such as 25 H7.", "designation")
    if len(designations) > _MOST:
        raise Refused("too-many", f"Type at most {_MOST} designations at once.", "designation")
    classes = [tolerance_class(one) for one in designations]
    return tuple(size_row(str(one), limits_of_size(one)) for one in classes)
