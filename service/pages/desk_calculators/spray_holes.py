"""Spray holes from the gauge pins tried in them: bracket of each hole, spread, flow area, the nozzle drawn."""

from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor
from service.documents.nozzle_answer import typed_facts
from service.documents.nozzle_drawing import place_of
from service.documents.nozzle_words import HoleLine, hole_lines
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import parse_decimal
from service.pages.desk_calculators.asking import asked, frame_of, kept_address, status_of_answer
from service.pages.guards import AtBench
from service.pages.overhauls.nozzle_card import HoleShown
from service.pages.overhauls.nozzle_holes import HoleDrawn
from service.pages.overhauls.small_forms import Fact
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed, errors_of
from service.workshop.typed_spray_holes import TypedNozzle, gauged_of_typed, passes_of_text
from service.workshop.vocabulary import VerdictKind

router = APIRouter()
_NOT_JUDGED = "not-judged"


@dataclass(frozen=True)
class SprayHolesFound:
    """The holes drawn and in a table, and what they make together; `columns` with the verdict where judged."""

    heading: str
    columns: tuple[str, ...]
    judged: bool
    holes: tuple[HoleDrawn, ...]
    lines: tuple[HoleShown, ...]
    facts: tuple[Fact, ...]


@dataclass(frozen=True)
class SprayHolesPage:
    """What was typed and what the pins say."""

    page: Frame
    form: FormState
    found: SprayHolesFound | None
    address: str


@router.get("/calculators/spray-holes")
def show_spray_holes(request: Request, actor: Actor = AtBench) -> Response:
    """Brackets, spread and flow area of one nozzle; nothing is stored."""
    typed, found, error = asked(request), None, None
    try:
        found = _found(typed) if typed.fields else None
    except DomainError as refusal:
        error = refusal
    form = FormState(typed.shown().values if typed.fields else {"k": "2"}, errors_of(error))
    page = SprayHolesPage(frame_of(request, "Spray holes", actor), form, found, kept_address(request, error))
    return whole_or_part(request, "desk_calculators/spray_holes", page, status_of_answer(error))


def _found(typed: Typed) -> SprayHolesFound:
    doubt = typed.quantity("expanded_uncertainty", "mm") if typed.text("expanded_uncertainty") else Decimal(0)
    gauged = gauged_of_typed(
        passes_of_text(typed.text("passes")),
        doubt,
        parse_decimal(typed.text("k"), "k") if typed.text("k") else Decimal(2),
        typed.quantity("nominal", "mm") if typed.text("nominal") else None,
        typed.text("designation") or None,
    )
    lines = hole_lines(gauged.found)
    columns = ("Hole", "Bracket", "Bracket with U", "Middle ± U (k = 2)")
    return SprayHolesFound(
        heading=_heading(gauged, typed.text("designation")),
        columns=(*columns, "Verdict") if gauged.judged else columns,
        judged=gauged.judged,
        holes=tuple(_drawn(gauged, line) for line in lines),
        lines=tuple(
            HoleShown(one.hole, one.bracket, one.widened, one.middle, one.verdict.value, one.verdict.label)
            for one in lines
        ),
        facts=tuple(Fact(label, value) for label, value in typed_facts(gauged)),
    )


def _heading(gauged: TypedNozzle, designation: str) -> str:
    """How many holes there are, and by a class how many of them conform."""
    count = gauged.new.holes
    holes = f"{count} spray hole{'' if count == 1 else 's'}"
    if not gauged.judged:
        return holes
    conforming = sum(one.verdict is VerdictKind.CONFORMS for one in gauged.found.holes)
    return f"Conforming to {designation}: {conforming} of {holes}"


def _drawn(gauged: TypedNozzle, line: HoleLine) -> HoleDrawn:
    number = int(line.hole)
    x, y = place_of(number, gauged.new.holes)
    state, said = (line.verdict.value, line.verdict.label.lower()) if gauged.judged else (_NOT_JUDGED, "not judged")
    return HoleDrawn(number=number, x=x, y=y, state=state, label=f"Hole {number}: {line.bracket} mm, {said}")
