"""Does a value conform? The verdict, the probability, and a drawing of the value against limits and guard bands."""

from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response
from markupsafe import Markup

from service.actions.shop import Actor
from service.metrology.conformity import judge, probability_of_conformity, standard_uncertainty
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import parse_decimal, plain
from service.metrology.units import UNIT_NAMES
from service.pages.choices import Option
from service.pages.desk_calculators.asking import asked, frame_of, kept_address, status_of_answer
from service.pages.desk_calculators.conformity_drawing import conformity_drawing
from service.pages.desk_calculators.verdict_words import VerdictWords, verdict_words
from service.pages.guards import AtBench
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed, errors_of

router = APIRouter()
_USUAL = {"k": "2", "guard_factor": "1", "unit": "mm"}
UNITS = tuple(Option(name, name) for name in UNIT_NAMES)


@dataclass(frozen=True)
class Fact:
    """A word and its value."""

    label: str
    value: str


@dataclass(frozen=True)
class ConformityAnswer:
    """The verdict in words, what it stands on, and the drawing."""

    verdict: VerdictWords
    facts: tuple[Fact, ...]
    drawing: Markup


@dataclass(frozen=True)
class ConformityPage:
    """What was typed and the verdict on it."""

    page: Frame
    form: FormState
    units: tuple[Option, ...]
    found: ConformityAnswer | None
    address: str


@router.get("/calculators/conformity")
def show_conformity(request: Request, actor: Actor = AtBench) -> Response:
    """A verdict by ISO 14253-1 and its probability by JCGM 106."""
    typed, found, error = asked(request), None, None
    try:
        found = _found(typed) if typed.fields else None
    except DomainError as refusal:
        error = refusal
    form = FormState({**_USUAL, **typed.shown().values}, _placed(error))
    page = ConformityPage(frame_of(request, "Conformity", actor), form, UNITS, found, kept_address(request, error))
    return whole_or_part(request, "desk_calculators/conformity", page, status_of_answer(error))


def _placed(error: DomainError | None) -> dict[str, str]:
    """A missing limit is said at the first of the two."""
    if error is not None and error.code == "limits-missing":
        return {"lower": error.sentence}
    return errors_of(error)


def _found(typed: Typed) -> ConformityAnswer:
    unit = typed.text("unit") or _USUAL["unit"]
    value = typed.quantity("value", unit)
    doubt = typed.quantity("expanded_uncertainty", unit)
    lower, upper = (typed.quantity(name, unit) if typed.text(name) else None for name in ("lower", "upper"))
    k, factor = (parse_decimal(typed.text(name) or _USUAL[name], name) for name in ("k", "guard_factor"))
    verdict = judge(value, lower, upper, doubt, factor)
    deviation = standard_uncertainty(doubt, k)
    probability = probability_of_conformity(value, lower, upper, deviation)
    facts = (
        Fact("Probability that it conforms", _percent(probability)),
        Fact("Guard band", f"{plain(verdict.guard_band)} {unit}"),
        Fact("Standard uncertainty", f"{plain(_rounded(deviation))} {unit}"),
    )
    return ConformityAnswer(verdict_words(verdict, unit), facts, conformity_drawing(verdict, doubt, unit))


def _percent(probability: float) -> str:
    """Never rounded up to a certainty that is not there."""
    text = f"{probability:.2%}"
    if text == "100.00%" and probability < 1:
        return "over 99.99 %"
    if text == "0.00%" and probability > 0:
        return "under 0.01 %"
    return text.replace("%", " %")


def _rounded(number: Decimal) -> Decimal:
    return number if not number else number.quantize(Decimal(1).scaleb(number.adjusted() - 3))
