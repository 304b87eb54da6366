"""The fewest discs that bring an opening pressure into its band, every tie."""

from dataclasses import dataclass
from decimal import Decimal

from fastapi import APIRouter, Request
from fastapi.responses import Response

from service.actions.shop import Actor, Refused
from service.hydraulics.disc_advice import advise
from service.hydraulics.disc_search import PressureBand, disc_task, fewest_discs
from service.hydraulics.disc_stock import discs_in_words, parse_discs, parse_stock
from service.hydraulics.discs import USUAL_MOST_DISCS
from service.metrology.errors import DomainError
from service.metrology.typed_numbers import plain
from service.pages.desk_calculators.asking import asked, frame_of, kept_address, status_of_answer
from service.pages.guards import AtBench
from service.pages.overhauls.whole_or_part import whole_or_part
from service.pages.rendering import FormState, Frame
from service.pages.typed_forms import Typed, errors_of

router = APIRouter()
_USUAL = {"max": str(USUAL_MOST_DISCS)}
_WANTED = ("target", "tolerance", "stock")
"""Without one of these the page was opened with a slope from another calculator, and nothing was asked yet."""


@dataclass(frozen=True)
class DiscRow:
    """One set."""

    put_in: str
    take_out: str
    expected: str


@dataclass(frozen=True)
class DiscsAnswer:
    """What to do, and every set that does it."""

    sentence: str
    rows: tuple[DiscRow, ...]


@dataclass(frozen=True)
class DiscsPage:
    """What was typed and the sets for it."""

    page: Frame
    form: FormState
    found: DiscsAnswer | None
    address: str


@router.get("/calculators/discs")
def show_discs(request: Request, actor: Actor = AtBench) -> Response:
    """An exact search; nothing is recorded."""
    typed, found, error = asked(request), None, None
    try:
        found = _found(typed) if any(name in typed.fields for name in _WANTED) else None
    except DomainError as refusal:
        error = refusal
    form = FormState({**_USUAL, **typed.shown().values}, errors_of(error))
    page = DiscsPage(frame_of(request, "Adjusting discs", actor), form, found, kept_address(request, error))
    return whole_or_part(request, "desk_calculators/discs", page, status_of_answer(error))


def _found(typed: Typed) -> DiscsAnswer:
    now, aim, off = (typed.quantity(name, "bar") for name in ("now", "target", "tolerance"))
    if off < 0:
        raise Refused("tolerance-negative", "The tolerance is below zero: give how far off it may be.", "tolerance")
    task = disc_task(
        now,
        PressureBand(aim - off, aim, aim + off),
        typed.quantity("bar_per_mm", "bar"),
        parse_stock(typed.text("stock")),
        parse_discs(typed.text("fitted"), "fitted"),
        typed.whole("max", "Most added discs allowed") if typed.text("max") else USUAL_MOST_DISCS,
    )
    found = fewest_discs(task)
    rows = tuple(
        DiscRow(
            discs_in_words(one.added_um),
            discs_in_words(one.removed_um),
            plain(one.expected_bar.quantize(Decimal("0.01"))),
        )
        for one in found
    )
    return DiscsAnswer(advise(task, found).sentence, rows)
