"""The metal left on a seat, and how many more recuts it likely bears by cuts that are typed."""

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import plain
from service.pages.choices import Option
from service.pages.desk_calculators.asking import asked, frame_of, kept_address, status_of_answer
from service.pages.guards import AtBench
from service.pages.overhauls.small_forms import Fact
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed, errors_of
from service.workshop.recuts import LimitSide, RecutsLikely
from service.workshop.typed_recuts import forecast_of_typed

router = APIRouter()
_SIDES = (
    Option(LimitSide.UPPER.value, "Larger", "A bore or seat diameter: the limit lies above."),
    Option(LimitSide.LOWER.value, "Smaller", "A height or a thickness: the limit lies below."),
)
_FIELDS = {"depths": "cuts", "remaining": "limit"}


@dataclass(frozen=True)
class RecutsFound:
    """The forecast in a sentence, and its figures."""

    sentence: str
    facts: tuple[Fact, ...]


@dataclass(frozen=True)
class RecutsPage:
    """What was typed and the forecast for it."""

    page: Frame
    form: FormState
    sides: tuple[Option, ...]
    found: RecutsFound | None
    address: str


@router.get("/calculators/recuts")
def show_recuts(request: Request, actor: Actor = AtBench) -> Response:
    """Metal to the rework limit, and a range of cuts; nothing is stored."""
    typed, found, error = asked(request), None, None
    try:
        found = _found(typed) if typed.fields else None
    except DomainError as refusal:
        error = refusal
    errors = {_FIELDS.get(name, name): sentence for name, sentence in errors_of(error).items()}
    values = typed.shown().values if typed.fields else {"side": LimitSide.UPPER.value}
    form = FormState(values, errors)
    page = RecutsPage(frame_of(request, "Recuts", actor), form, _SIDES, found, kept_address(request, error))
    return whole_or_part(request, "desk_calculators/recuts", page, status_of_answer(error))


def _found(typed: Typed) -> RecutsFound:
    names = ("size", "limit", "side", "expanded_uncertainty", "cuts")
    found = forecast_of_typed(*(typed.text(name) for name in names))
    left = f"{plain(found.metal.remaining_mm)} ± {plain(found.metal.expanded_uncertainty_mm)} mm"
    facts = [Fact("Left to the limit", left), Fact("Cuts given", str(found.cuts))]
    likely = found.forecast
    if isinstance(likely, RecutsLikely):
        facts += [
            Fact("Careful, 90 %", str(likely.careful)),
            Fact("Even, 50 %", str(likely.even)),
            Fact("Hopeful, 10 %", str(likely.hopeful)),
        ]
    sentence = likely.sentence
    return RecutsFound(f"{sentence[0].upper()}{sentence[1:]}", tuple(facts))
