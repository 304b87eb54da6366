"""The check digit of a ship's number."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.pages.desk_calculators.asking import asked, frame_of, kept_address, status_of_answer
from service.pages.guards import AtBench
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame
from service.workshop.imo_number import expected_check_digit, seven_digits

router = APIRouter()


@dataclass(frozen=True)
class ImoAnswer:
    """Whether the number has its check digit, as a mark and in words."""

    mark: str
    label: str
    sentence: str
    sum_line: str


@dataclass(frozen=True)
class ImoPage:
    """The number typed and what its last digit says."""

    page: Frame
    form: FormState
    found: ImoAnswer | None
    address: str


@router.get("/calculators/imo")
def show_imo(request: Request, actor: Actor = AtBench) -> Response:
    """Check a number by IMO Resolution A.1117(30)."""
    typed, found, error = asked(request), None, None
    try:
        found = _found(typed.text("number")) if typed.fields else None
    except DomainError as refusal:
        error = refusal
    errors = {} if error is None else {"number": error.sentence}
    form = FormState({"number": "".join(typed.fields.get("number", ())[:1])}, errors)
    page = ImoPage(frame_of(request, "IMO number", actor), form, found, kept_address(request, error))
    return whole_or_part(request, "desk_calculators/imo", page, status_of_answer(error))


def _found(text: str) -> ImoAnswer:
    digits = seven_digits(text)
    expected = expected_check_digit(digits[:6])
    sum_line = " + ".join(f"{weight}·{digit}" for weight, digit in zip(range(7, 1, -1), digits[:6], strict=True))
    if digits[6] == str(expected):
        sentence = f"{digits} ends in {expected}, as its first six digits ask for. A wrong number can pass by chance."
        return ImoAnswer("conforms", "The check digit is right", sentence, sum_line)
    sentence = (
        f"After {digits[:6]} comes {expected}, and {digits} ends in {digits[6]}: compare it with the ship’s papers."
    )
    return ImoAnswer("does-not-conform", "The check digit is wrong", sentence, sum_line)
